//! ISO/IEC 7064:2003, pure and hybrid systems. Written from memory of the standard (its text was
//! not at hand) and held against published examples and python-stdnum in `tests/published`.

/// Pure system MOD m-2: the check value `c` makes `Σ value·2^place ≡ 1 (mod m)`.
pub(super) fn pure(values: impl Iterator<Item = u8>, m: u32) -> u8 {
    let product = values.fold(0, |p, value| (p + u32::from(value)) * 2 % m);
    ((m + 1 - product) % m) as u8 // below m, which is at most 37
}

/// MOD 97-10: two check digits, 02 to 98. A letter (10..=35) counts as its two digits.
pub(super) fn mod_97_10(values: impl Iterator<Item = u8>) -> u8 {
    let number = values.fold(0, |n, value| {
        let shift = if value < 10 { 10 } else { 100 };
        (n * shift + u32::from(value)) % 97
    });
    (98 - number * 100 % 97) as u8
}

/// Hybrid system MOD m+1,m.
pub(super) fn hybrid(values: impl Iterator<Item = u8>, m: u32) -> u8 {
    let product = values.fold(m, |p, value| {
        let sum = (p + u32::from(value)) % m;
        let sum = if sum == 0 { m } else { sum };
        sum * 2 % (m + 1)
    });
    ((m + 1 - product) % m) as u8 // below m, which is at most 36
}
