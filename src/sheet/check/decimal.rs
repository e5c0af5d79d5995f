//! Systems with one decimal check digit. Tables from memory, held against published examples and
//! python-stdnum in `tests/published`.

/// ISO/IEC 7812-1 annex B: every second digit from the right doubled, digits summed.
pub(super) fn luhn(values: impl DoubleEndedIterator<Item = u8>) -> u8 {
    let sum: u32 = values
        .rev()
        .enumerate()
        .map(|(i, digit)| match (i % 2, digit) {
            (0, 5..) => u32::from(digit) * 2 - 9,
            (0, _) => u32::from(digit) * 2,
            _ => u32::from(digit),
        })
        .sum();
    ((10 - sum % 10) % 10) as u8
}

/// J. Verhoeff, Error Detecting Decimal Codes (1969): permuted digits multiplied in the dihedral
/// group, counted from the check digit.
pub(super) fn verhoeff(values: impl DoubleEndedIterator<Item = u8>) -> u8 {
    let product = values
        .rev()
        .enumerate()
        .fold(0, |p, (i, digit)| multiply(p, permute(digit, i + 1)));
    inverse(product)
}

/// The letter form of the same idea, counted from the left; the check digit is not permuted.
pub(super) fn dihedral(values: impl Iterator<Item = u8>) -> u8 {
    let product = values
        .enumerate()
        .fold(0, |p, (i, digit)| multiply(p, permute(digit, i + 1)));
    inverse(product)
}

/// The digit for which a letter stands in the dihedral scheme.
pub(super) fn letter_digit(byte: u8) -> Option<u8> {
    b"ADGKLNSUYZ"
        .iter()
        .position(|&letter| letter == byte)
        .map(|digit| digit as u8)
}

/// The digit 1..=9 that makes the sum of all values divisible by 9 (letters by ASCII code).
pub(super) fn letter_sum_9(values: impl Iterator<Item = u8>) -> u8 {
    let sum: u32 = values.map(u32::from).sum();
    (9 - sum % 9) as u8
}

/// H. M. Damm, Total anti-symmetrische Quasigruppen (2004): the quasigroup of order 10.
pub(super) fn damm(values: impl Iterator<Item = u8>) -> u8 {
    const TABLE: [[u8; 10]; 10] = [
        [0, 3, 1, 7, 5, 9, 8, 6, 4, 2],
        [7, 0, 9, 2, 1, 5, 4, 8, 6, 3],
        [4, 2, 0, 6, 8, 7, 1, 3, 5, 9],
        [1, 7, 5, 0, 9, 8, 3, 4, 2, 6],
        [6, 1, 2, 3, 0, 4, 5, 9, 7, 8],
        [3, 6, 7, 4, 2, 0, 9, 5, 8, 1],
        [5, 8, 6, 9, 7, 2, 0, 1, 3, 4],
        [8, 9, 4, 5, 3, 6, 2, 0, 1, 7],
        [9, 4, 3, 8, 6, 1, 7, 2, 0, 5],
        [2, 5, 8, 1, 4, 3, 6, 7, 9, 0],
    ];
    values.fold(0, |row, digit| TABLE[usize::from(row)][usize::from(digit)])
}

/// The dihedral group of the pentagon: 0..=4 turns it, 5..=9 turns and flips it.
fn multiply(a: u8, b: u8) -> u8 {
    match (a < 5, b < 5) {
        (true, true) => (a + b) % 5,
        (true, false) => 5 + (a + b) % 5,
        (false, true) => 5 + (a - b) % 5,
        (false, false) => (a + 5 - b) % 5,
    }
}

/// Flips undo themselves; turns are undone by turning on.
fn inverse(a: u8) -> u8 {
    if a < 5 { (5 - a) % 5 } else { a }
}

/// Verhoeff's permutation applied `times` times; it repeats after 8.
fn permute(digit: u8, times: usize) -> u8 {
    const ONCE: [u8; 10] = [1, 5, 7, 6, 2, 8, 3, 0, 9, 4];
    (0..times % 8).fold(digit, |d, _| ONCE[usize::from(d)])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: pruefziffernberechnung.de, Deutsche Mark page, as kept in
    /// tests/fixtures/serial_check_examples.json (retrieved).
    #[test]
    fn the_group_and_its_permutation_are_the_published_ones() {
        let file = include_str!("../../../tests/fixtures/serial_check_examples.json");
        let file: serde_json::Value = serde_json::from_str(file).unwrap();
        let scheme = &file["german_mark_1990s"];
        for a in 0..10 {
            assert_eq!(scheme["permutation_t1"][usize::from(a)], permute(a, 1));
            assert_eq!(multiply(a, inverse(a)), 0);
            for b in 0..10 {
                let published = &scheme["multiplication_table"][usize::from(a)][usize::from(b)];
                assert_eq!(*published, multiply(a, b), "{a} * {b}");
            }
        }
    }

    #[test]
    fn the_permutation_repeats_after_eight() {
        for digit in 0..10 {
            let eight = (0..8).fold(digit, |d, _| permute(d, 1));
            assert_eq!(eight, digit);
            assert_eq!(permute(digit, 10), permute(permute(digit, 1), 1));
        }
    }
}
