//! What a page may do: run its own script, be styled by its own style, and nothing else (W3C, Content Security Policy
//! Level 3).

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

/// The policy of a page with this one script and this one style; both are named by their hashes, so that nothing in a
/// name can become a second one.
pub fn policy(script: &str, style: &str) -> String {
    format!(
        "default-src 'none'; script-src '{}'; style-src '{}'; font-src data:; base-uri 'none'; form-action 'none'",
        source(script),
        source(style)
    )
}

/// The same of a page that is served: it may ask the server that it comes from, and no other page may frame it.
pub fn served_policy(script: &str, style: &str) -> String {
    let alone = policy(script, style);
    format!("{alone}; connect-src 'self'; frame-ancestors 'none'")
}

/// A text by its hash.
fn source(text: &str) -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(text)))
}
