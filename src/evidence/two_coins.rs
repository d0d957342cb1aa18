//! What must be known beside a conclusion on two coins: where it and the findings do not go together. It never says
//! which dies struck them; the rules are common practice, no source.

use crate::specimen::{Comparison, Conclusion, Difference, Found, WhichCoin};

/// Something to look at again, or to keep in mind. Each is one sentence by `Display`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PairCaution {
    /// Agreement is not identity.
    #[error(
        "Two worn coins that agree in all that can still be seen may yet be of two dies: agreement is no proof of one \
         die."
    )]
    AgreementIsNoProof,
    /// One die is concluded although something was cut otherwise.
    #[error(
        "One die is concluded, but {spots} noted as cut otherwise, which one die does not explain: look again.",
        spots = count(*spots, "spot is", "spots are")
    )]
    CutOtherwise {
        /// At how many spots.
        spots: usize,
    },
    /// One die is concluded and nothing was noted as the same.
    #[error("One die is concluded, but no spot is noted as the same on both coins.")]
    NothingTheSame,
    /// Two dies are concluded and nothing noted speaks for it.
    #[error(
        "Different dies are concluded, but nothing noted is a difference that die state, a recut or the coin itself \
         could not make."
    )]
    NothingCutOtherwise,
    /// An order is concluded and nothing noted tells of one.
    #[error(
        "An order is concluded, but no difference of die state, clash or recut is noted that tells which coin was \
         struck first."
    )]
    NoOrder,
    /// The order goes against the die's state.
    #[error(
        "By the die state noted as further on {0} that coin was struck later; the conclusion says the reverse.",
        coin.words()
    )]
    OrderReversed {
        /// The coin with the later state.
        coin: WhichCoin,
    },
}

fn count(n: usize, one: &str, more: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { more })
}

/// What must be known beside the conclusion of a comparison, gravest first; empty while none is drawn.
#[must_use]
pub fn pair_cautions(comparison: &Comparison) -> Vec<PairCaution> {
    let Some(conclusion) = comparison.conclusion else {
        return Vec::new();
    };
    let count = |kinds: &[Difference]| {
        comparison
            .findings
            .iter()
            .filter(|f| matches!(f.found, Some(Found::Differs(kind)) if kinds.contains(&kind)))
            .count()
    };
    let cut_otherwise = count(&[Difference::OtherCutting]);
    let mut cautions = Vec::new();
    if conclusion.is_same_die() {
        if cut_otherwise > 0 {
            cautions.push(PairCaution::CutOtherwise { spots: cut_otherwise });
        }
        if !comparison.findings.iter().any(|f| f.found == Some(Found::Same)) {
            cautions.push(PairCaution::NothingTheSame);
        }
    }
    if conclusion == Conclusion::DifferentDies && cut_otherwise == 0 && count(&[Difference::NotSaid]) == 0 {
        cautions.push(PairCaution::NothingCutOtherwise);
    }
    let later = match conclusion {
        Conclusion::SameDieThisEarlier => Some(WhichCoin::Other),
        Conclusion::SameDieThisLater => Some(WhichCoin::This),
        _ => None,
    };
    if let Some(later) = later {
        if count(&[Difference::DieState, Difference::Clash, Difference::Recut]) == 0 {
            cautions.push(PairCaution::NoOrder);
        }
        // A crack only grows; a clash mark may be polished away and a recut numeral may wear back, so they do not bind.
        let reversed = comparison
            .findings
            .iter()
            .filter(|f| f.found == Some(Found::Differs(Difference::DieState)))
            .filter_map(|f| f.more_on)
            .find(|coin| *coin != later);
        if let Some(coin) = reversed {
            cautions.push(PairCaution::OrderReversed { coin });
        }
    }
    if conclusion.is_same_die() {
        cautions.push(PairCaution::AgreementIsNoProof);
    }
    cautions
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::Side;
    use crate::specimen::{OtherSpecimen, Spot};

    fn comparison(found: &[(Found, Option<WhichCoin>)], conclusion: Conclusion) -> Comparison {
        let other = OtherSpecimen {
            title: "b".to_owned(),
            place: "../b".to_owned(),
            photo: String::new(),
            sha256: String::new(),
        };
        let mut comparison = Comparison::new(Side::Obverse, other);
        for (place, (found, more_on)) in found.iter().enumerate() {
            let finding = comparison.finding_mut(&Spot::Zone(place.to_string().as_str().into()));
            finding.found = Some(*found);
            finding.more_on = *more_on;
        }
        comparison.conclusion = Some(conclusion);
        comparison
    }

    #[test]
    fn one_die_is_never_left_without_its_caution() {
        use PairCaution as C;
        let state = (Found::Differs(Difference::DieState), Some(WhichCoin::Other));
        let cut = (Found::Differs(Difference::OtherCutting), None);
        let same = (Found::Same, None);
        for (found, conclusion, expected) in [
            (vec![same], Conclusion::SameDie, vec![C::AgreementIsNoProof]),
            (
                vec![],
                Conclusion::SameDie,
                vec![C::NothingTheSame, C::AgreementIsNoProof],
            ),
            (
                vec![same, cut],
                Conclusion::SameDie,
                vec![C::CutOtherwise { spots: 1 }, C::AgreementIsNoProof],
            ),
            (
                vec![same],
                Conclusion::SameDieThisLater,
                vec![C::NoOrder, C::AgreementIsNoProof],
            ),
            (
                vec![same, state],
                Conclusion::SameDieThisEarlier,
                vec![C::AgreementIsNoProof],
            ),
            (
                vec![same, state],
                Conclusion::SameDieThisLater,
                vec![
                    C::OrderReversed {
                        coin: WhichCoin::Other,
                    },
                    C::AgreementIsNoProof,
                ],
            ),
            (vec![cut], Conclusion::DifferentDies, vec![]),
            (
                vec![state],
                Conclusion::DifferentDies,
                vec![C::NothingCutOtherwise],
            ),
            (vec![], Conclusion::CannotTell, vec![]),
        ] {
            assert_eq!(pair_cautions(&comparison(&found, conclusion)), expected);
        }
    }

    #[test]
    fn nothing_is_said_before_a_conclusion() {
        let mut comparison = comparison(&[], Conclusion::SameDie);
        comparison.conclusion = None;
        assert_eq!(pair_cautions(&comparison), []);
    }
}
