//! Ed25519 and Argon2id against published vectors (shared reference files: RFC 8032 7.1, the
//! Ed25519 authors' sign.input, RFC 9106 5.3, and values on which two libraries agree).

use argon2::{Algorithm, Argon2, ParamsBuilder, Version};
use cullbook::people::{PublicKey, SecretKey, Signature, stretch};
use serde::Deserialize;

#[derive(Deserialize)]
struct Ed25519 {
    sign: Vec<Signed>,
    verify_must_fail: MustFail,
}

#[derive(Deserialize)]
struct Signed {
    source: String,
    seed: String,
    public_key: String,
    message: String,
    signature: String,
}

/// Wycheproof's ed25519_test.json.
#[derive(Deserialize)]
struct MustFail {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    #[serde(rename = "tcId")]
    id: u32,
    public_key: String,
    message: String,
    signature: String,
    valid: bool,
}

fn bytes(hex: &str) -> Vec<u8> {
    let pairs = (0..hex.len()).step_by(2);
    pairs
        .map(|at| u8::from_str_radix(&hex[at..at + 2], 16).expect("hexadecimal digits"))
        .collect()
}

fn ed25519() -> Ed25519 {
    serde_json::from_str(include_str!("../fixtures/reference/ed25519_vectors.json")).unwrap()
}

#[test]
fn keys_sign_as_rfc_8032_says() {
    let vectors = ed25519().sign;
    assert!(vectors.len() >= 3);
    for one in vectors {
        let seed: [u8; 32] = bytes(&one.seed).try_into().unwrap();
        let key = SecretKey::from_seed(&seed);
        let message = bytes(&one.message);
        assert_eq!(key.public().to_string(), one.public_key, "{}", one.source);
        let signature = key.sign(&message);
        assert_eq!(signature.to_string(), one.signature, "{}", one.source);
        assert!(
            key.public().verifies(&message, &signature),
            "{}",
            one.source
        );
    }
}

#[test]
fn signatures_that_must_fail_do() {
    let vectors = ed25519().verify_must_fail.cases;
    assert!(vectors.len() >= 20, "{}", vectors.len());
    for one in vectors {
        assert!(!one.valid, "case {} belongs elsewhere", one.id);
        // A signature or key of another length is not even one.
        let key = one.public_key.parse::<PublicKey>();
        let signature = one.signature.parse::<Signature>();
        let holds = match (key, signature) {
            (Ok(key), Ok(signature)) => key.verifies(&bytes(&one.message), &signature),
            _ => false,
        };
        assert!(!holds, "case {}", one.id);
    }
}

#[derive(Deserialize)]
struct Stretched {
    source: String,
    memory_kib: u32,
    passes: u32,
    lanes: u32,
    tag_length: usize,
    password: String,
    salt: String,
    secret: String,
    ad: String,
    tag: String,
}

/// The vectors with one lane, no secret and no further data go through [`stretch`]; the others
/// show that the library underneath is the published function.
#[test]
fn passphrases_stretch_as_rfc_9106_says() {
    let file = include_str!("../fixtures/reference/argon2id_vectors.json");
    let vectors: Vec<Stretched> = serde_json::from_str(file).unwrap();
    let mut ours = 0;
    for one in vectors {
        let (password, salt) = (bytes(&one.password), bytes(&one.salt));
        let mut tag = vec![0; one.tag_length];
        if one.lanes == 1 && one.secret.is_empty() && one.ad.is_empty() {
            stretch(&password, &salt, one.memory_kib, one.passes, &mut tag).unwrap();
            ours += 1;
        } else {
            library(&one, &password, &salt, &mut tag);
        }
        assert_eq!(tag, bytes(&one.tag), "{}", one.source);
    }
    assert!(ours >= 2, "{ours}");
}

fn library(one: &Stretched, password: &[u8], salt: &[u8], tag: &mut [u8]) {
    let mut params = ParamsBuilder::new();
    params
        .m_cost(one.memory_kib)
        .t_cost(one.passes)
        .p_cost(one.lanes);
    params.output_len(one.tag_length);
    params.data(argon2::AssociatedData::new(&bytes(&one.ad)).unwrap());
    let (params, secret) = (params.build().unwrap(), bytes(&one.secret));
    let argon2 = Argon2::new_with_secret(&secret, Algorithm::Argon2id, Version::V0x13, params);
    argon2
        .unwrap()
        .hash_password_into(password, salt, tag)
        .unwrap();
}
