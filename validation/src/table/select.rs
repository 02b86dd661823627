//! Which checks and rows a pattern means.

/// A pattern: words that have to occur in a name, `*` for any letters between them; case does not matter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pattern(Vec<String>);

impl Pattern {
    /// Reads a pattern.
    #[must_use]
    pub fn new(text: &str) -> Self {
        Self(text.to_lowercase().split('*').filter(|part| !part.is_empty()).map(str::to_owned).collect())
    }

    /// Whether the parts occur in the name, in their order.
    #[must_use]
    pub fn fits(&self, name: &str) -> bool {
        let name = name.to_lowercase();
        let mut rest = name.as_str();
        for part in &self.0 {
            match rest.find(part.as_str()) {
                Some(at) => rest = &rest[at + part.len()..],
                None => return false,
            }
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_have_to_occur_in_order() {
        let name = "propellers/DA4022 9 in, 2 blades/CT, 4042 rpm";
        for good in ["da4022", "propellers/*ct,", "*9 in*rpm", ""] {
            assert!(Pattern::new(good).fits(name), "{good}");
        }
        for bad in ["da4002", "rpm*ct", "CP"] {
            assert!(!Pattern::new(bad).fits(name), "{bad}");
        }
    }
}
