//! Sums of likelihoods that are kept as decimal logarithms, so that many verdicts do not underflow.

/// log10 of `a * 10^x + b * 10^y`.
pub(super) fn log10_mean(a: f64, x: f64, b: f64, y: f64) -> f64 {
    log10_sum([a.log10() + x, b.log10() + y])
}

/// log10 of the sum of ten to the power of each; minus infinity where there are none.
pub(super) fn log10_sum(log10s: impl IntoIterator<Item = f64>) -> f64 {
    let log10s: Vec<f64> = log10s.into_iter().collect();
    let greatest = log10s.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if greatest == f64::NEG_INFINITY {
        return greatest;
    }
    let sum: f64 = log10s.iter().map(|log10| 10f64.powf(log10 - greatest)).sum();
    greatest + sum.log10()
}

/// Shares in proportion to ten to the power of the scores; all zero where every score is minus infinity.
pub(super) fn shares_of(log10_scores: &[f64]) -> Vec<f64> {
    let greatest = log10_scores.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if greatest == f64::NEG_INFINITY {
        return vec![0.0; log10_scores.len()];
    }
    let weights: Vec<f64> = log10_scores
        .iter()
        .map(|score| 10f64.powf(score - greatest))
        .collect();
    let sum: f64 = weights.iter().sum();
    weights.into_iter().map(|weight| weight / sum).collect()
}
