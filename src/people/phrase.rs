//! Passphrases: one made by chance that can be remembered, and how good a chosen one is.

/// Consonants and vowels that are told apart by ear: 16 and 4, so that each takes whole bits.
const CONSONANTS: &[u8; 16] = b"bdfghjklmnprstvz";
const VOWELS: &[u8; 4] = b"aiou";

/// Four words that can be spoken, from 128 random bits, of which 64 are used: "bofid-ranut-…".
pub fn spoken_phrase(dice: u128) -> String {
    let words = (0..4).map(|word| spoken_word((dice >> (16 * word)) as u16));
    words.collect::<Vec<_>>().join("-")
}

/// Consonant, vowel, consonant, vowel, consonant: 4 + 2 + 4 + 2 + 4 bits.
fn spoken_word(bits: u16) -> String {
    let consonant = |shift: u16| CONSONANTS[usize::from(bits >> shift & 15)] as char;
    let vowel = |shift: u16| VOWELS[usize::from(bits >> shift & 3)] as char;
    [
        consonant(0),
        vowel(4),
        consonant(6),
        vowel(10),
        consonant(12),
    ]
    .iter()
    .collect()
}

/// How hard a passphrase is to guess, roughly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Strength {
    Weak,
    Fair,
    Good,
}

impl Strength {
    /// By its length and how many different characters it has; it knows no dictionary, so a
    /// well-known saying looks better than it is.
    pub fn of(passphrase: &str) -> Self {
        let length = passphrase.chars().count();
        let different = passphrase
            .chars()
            .collect::<std::collections::BTreeSet<_>>()
            .len();
        match (length, different) {
            (16.., 9..) => Strength::Good,
            (super::PASSPHRASE_MIN.., 6..) => Strength::Fair,
            _ => Strength::Weak,
        }
    }

    pub fn name(self) -> &'static str {
        match self {
            Strength::Weak => "weak",
            Strength::Fair => "fair",
            Strength::Good => "good",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn different_bits_make_different_words_and_every_phrase_will_do() {
        let words: std::collections::BTreeSet<_> = (0..=u16::MAX).map(spoken_word).collect();
        assert_eq!(words.len(), 1 << 16);
        let phrase = spoken_phrase(0x1234_5678_9abc_def0);
        assert_eq!(phrase.len(), 23);
        assert_eq!(Strength::of(&phrase), Strength::Good);
    }

    #[test]
    fn strength_grows_with_length_and_variety() {
        for (text, strength) in [
            ("short", Strength::Weak),
            ("aaaaaaaaaaaaaaaaaaaa", Strength::Weak),
            ("tenletters", Strength::Fair),
            ("long meadow at dusk", Strength::Good),
        ] {
            assert_eq!(Strength::of(text), strength, "{text}");
        }
    }
}
