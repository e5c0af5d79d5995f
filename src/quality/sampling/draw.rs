use sha2::{Digest, Sha256};

/// Keeps these hashes apart from all others in the book.
const DOMAIN: &[u8] = b"cullbook sample draw 1\n";

/// The ordinals of the items to examine: `sample` of the ordinals `0..lot`, in ascending order;
/// all of them when the sample is as large as the lot.
///
/// The draw can be repeated by anyone who knows the seed: item i gets
/// SHA-256(`cullbook sample draw 1`, newline, seed, newline, i in decimal), and the items with
/// the smallest hashes are taken. The seed must come from outside and be fixed only after the
/// lot is.
pub fn draw(seed: &str, lot: u64, sample: u64) -> Vec<u64> {
    let mut ranked: Vec<([u8; 32], u64)> = (0..lot).map(|item| (rank(seed, item), item)).collect();
    let taken = usize::try_from(sample)
        .unwrap_or(usize::MAX)
        .min(ranked.len());
    if taken < ranked.len() {
        ranked.select_nth_unstable(taken);
    }
    let mut items: Vec<u64> = ranked[..taken].iter().map(|(_, item)| *item).collect();
    items.sort_unstable();
    items
}

fn rank(seed: &str, item: u64) -> [u8; 32] {
    let mut hash = Sha256::new();
    hash.update(DOMAIN);
    hash.update(seed.as_bytes());
    hash.update(b"\n");
    hash.update(item.to_string().as_bytes());
    hash.finalize().into()
}
