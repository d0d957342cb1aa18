//! What the user decided, in words: verdicts, and findings between two coins.

use crate::specimen::{Finding, Found, Ruling};

/// A verdict with its reason, or that there is none, as a title.
#[must_use]
pub fn verdict_words(ruling: Option<Ruling>) -> String {
    match ruling {
        Some(Ruling::CannotTell(why)) => format!("Cannot tell: {}", why.words()),
        Some(ruling) => super::capital(ruling.words()),
        None => "No verdict".to_owned(),
    }
}

/// What was found at a spot, and for a difference its kind and the coin that shows more of it; that is empty otherwise.
#[must_use]
pub fn finding_parts(finding: &Finding) -> (String, String) {
    match (finding.found, finding.more_on) {
        (None, _) => ("not judged".to_owned(), String::new()),
        (Some(Found::Same), _) => ("same here".to_owned(), String::new()),
        (Some(Found::Differs(kind)), None) => ("differs here".to_owned(), kind.words().to_owned()),
        (Some(Found::Differs(kind)), Some(coin)) => (
            "differs here".to_owned(),
            format!("{}, on {}", kind.words(), coin.words()),
        ),
        (Some(Found::CannotTell(why)), _) => (format!("cannot tell: {}", why.words()), String::new()),
    }
}

/// A finding in a few words.
#[must_use]
pub fn finding_words(finding: Option<&Finding>) -> String {
    match finding.map(finding_parts) {
        None => "not judged".to_owned(),
        Some((found, kind)) if kind.is_empty() => found,
        Some((_, kind)) => format!("differs: {kind}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::Side;
    use crate::specimen::{Comparison, Difference, OtherSpecimen, Spot, WhichCoin};

    #[test]
    fn a_finding_is_told_with_its_kind_and_coin() {
        let other = OtherSpecimen {
            title: "b".to_owned(),
            place: "../b".to_owned(),
            photo: String::new(),
            sha256: String::new(),
        };
        let mut comparison = Comparison::new(Side::Obverse, other);
        let finding = comparison.finding_mut(&Spot::WholeSide);
        finding.found = Some(Found::Differs(Difference::DieState));
        finding.more_on = Some(WhichCoin::Other);
        assert_eq!(
            finding_words(Some(finding)),
            "differs: die state, on the other coin"
        );
        assert_eq!(finding_words(None), "not judged");
    }
}
