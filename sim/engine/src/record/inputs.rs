//! How the path of an input becomes the name of its dataset, and its hash.

use sha2::{Digest, Sha256};

/// The link of an input below `/inputs`: folders become groups, so `data/blade.csv` is found under that name.
///
/// HDF5 drops a component `.`, other readers resolve `..`, and an absolute path would leave the group; these
/// are percent-encoded, as is `%` itself. The attribute `path` keeps the path as it was given.
pub(super) fn link(path: &str) -> String {
    let parts = path.split('/').map(component).collect::<Vec<_>>();
    parts.join("/")
}

fn component(part: &str) -> String {
    match part {
        "" => "%2F".to_owned(),
        "." => "%2E".to_owned(),
        ".." => "%2E%2E".to_owned(),
        _ => part.replace('%', "%25"),
    }
}

/// SHA-256 of a text, lower-case hexadecimal.
pub(super) fn sha256(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_become_groups_and_dots_are_escaped() {
        assert_eq!(link("data/blade.csv"), "data/blade.csv");
        assert_eq!(link("../blade.csv"), "%2E%2E/blade.csv");
        assert_eq!(link("./a%b.csv"), "%2E/a%25b.csv");
        assert_eq!(link("/data/blade.csv"), "%2F/data/blade.csv");
    }

    /// Test vector "abc" of FIPS 180-4 (NIST example values).
    #[test]
    fn sha256_of_abc() {
        assert_eq!(sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }
}
