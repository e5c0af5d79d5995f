//! How long a book of 100,000 signed lines takes to verify, beside the bare cost of the same
//! SHA-256 and Ed25519 checks (`make bench`).

#[path = "../tests/book/long.rs"]
mod long;
#[path = "../tests/book/works.rs"]
mod works;

use std::sync::LazyLock;

use cullbook::book::{Book, Line, Verifier};
use divan::{Bencher, black_box};
use ed25519_dalek::{Signature, VerifyingKey};
use sha2::{Digest, Sha256};

use works::key;

const LINES: u64 = 100_000;

static TEXTS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let mut texts = Vec::new();
    long::long_book(LINES, |text| texts.push(text.to_owned()));
    texts
});

fn main() {
    divan::main();
}

/// What a line's hash and signature are made over, and with which key.
struct Bare {
    hashed: Vec<u8>,
    signed: Vec<u8>,
    signature: Signature,
    key: VerifyingKey,
}

fn bare(text: &String) -> Bare {
    let line = Line::read(text).expect("a line");
    let key = key(line.header.by.as_str()).public().to_string();
    let bytes = |hex: &str| -> Vec<u8> {
        let pairs = (0..hex.len()).step_by(2);
        pairs
            .map(|at| u8::from_str_radix(&hex[at..at + 2], 16).expect("digits"))
            .collect()
    };
    let key: [u8; 32] = bytes(&key).try_into().expect("32 bytes");
    let (unsigned, _) = text.rsplit_once(",\"sig\":").expect("a signature");
    Bare {
        hashed: [b"cullbook line v2\n", text.as_bytes()].concat(),
        signed: [b"cullbook sign v2\n", unsigned.as_bytes()].concat(),
        signature: Signature::from_slice(&bytes(&line.sig.to_string())).expect("64 bytes"),
        key: VerifyingKey::from_bytes(&key).expect("a key"),
    }
}

/// The least that verification can cost: one hash and one strict check a line, keys ready.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn a_bare_hashes_and_signatures(bencher: Bencher) {
    let lines: Vec<Bare> = TEXTS.iter().map(bare).collect();
    bencher.bench_local(|| {
        for line in &lines {
            black_box(Sha256::digest(&line.hashed));
            let held = line.key.verify_strict(&line.signed, &line.signature);
            assert!(held.is_ok());
        }
    });
}

/// Chain, rules and signatures, without keeping the lines: what cullbook-audit does on one core.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn b_verified(bencher: Bencher) {
    let texts = &*TEXTS;
    bencher.bench_local(|| {
        let mut book = Verifier::default();
        for text in texts {
            book.push(text).expect("it holds");
        }
        assert_eq!(book.len(), LINES);
    });
}

/// The same with every line kept, as the browser does.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn c_verified_and_kept(bencher: Bencher) {
    let texts = &*TEXTS;
    bencher.bench_local(|| {
        let book = Book::read(texts.iter().map(String::as_str)).expect("it holds");
        assert_eq!(book.len(), LINES);
    });
}

/// All but the signatures: what a page waits for before it shows a long book.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn d_chain_and_rules(bencher: Bencher) {
    let texts = &*TEXTS;
    bencher.bench_local(|| {
        let book = Book::read_ahead(texts.iter().map(String::as_str)).expect("it follows");
        assert_eq!(book.unchecked() as u64, LINES);
    });
}
