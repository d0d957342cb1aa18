//! Numbers as a person writes them.

/// A probability in percent; never a bare 0 or 100 where it is neither.
#[must_use]
pub fn percent(p: f64) -> String {
    let v = p * 100.0;
    if p <= 0.0 {
        "0 %".to_owned()
    } else if v < 0.1 {
        "< 0.1 %".to_owned()
    } else if v > 99.9 && p < 1.0 {
        "> 99.9 %".to_owned()
    } else {
        format!("{v:.1} %")
    }
}

/// With a real minus sign and always a sign.
#[must_use]
pub fn signed(value: f64, places: usize) -> String {
    let text = format!("{:.places$}", value.abs());
    let zero = text.chars().all(|c| c == '0' || c == '.');
    let sign = if zero {
        "\u{2007}"
    } else if value < 0.0 {
        "\u{2212}"
    } else {
        "+"
    };
    format!("{sign}{text}")
}

/// A length on the coin in mm, two places from 0.1 mm up and three below.
#[must_use]
pub fn mm(value: f64) -> String {
    if value < 0.0995 {
        format!("{value:.3} mm")
    } else {
        format!("{value:.2} mm")
    }
}

/// A number to three places at most, without trailing zeros.
#[must_use]
pub fn plain(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A length in mm without trailing zeros.
#[must_use]
pub fn length(mm: f64) -> String {
    format!("{} mm", plain(mm))
}

/// a, b .. z, then aa, ab and so on.
#[must_use]
pub fn letters(place: usize) -> String {
    let letter = char::from(b'a' + u8::try_from(place % 26).unwrap_or(0));
    if place < 26 {
        letter.to_string()
    } else {
        format!("{}{letter}", letters(place / 26 - 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_as_a_person_writes_them() {
        assert_eq!(length(0.1 * 2.0), "0.2 mm");
        assert_eq!(length(5.0), "5 mm");
        assert_eq!(length(0.05), "0.05 mm");
        assert_eq!(plain(0.170_000_000_000_000_04), "0.17");
        assert_eq!(percent(0.99999), "> 99.9 %");
        assert_eq!(percent(0.00001), "< 0.1 %");
        assert_eq!(signed(-0.25, 2), "\u{2212}0.25");
        assert_eq!(signed(0.001, 2), "\u{2007}0.00");
    }
}
