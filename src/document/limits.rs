//! How much one document may hold.

/// The bounds on one document.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ParseLimits {
    /// Keys and values in the document, with what aliases stand for.
    pub nodes: usize,
    /// Lists and mappings inside one another.
    pub depth: usize,
    /// Length of one text or key, in bytes.
    pub text: usize,
    /// Keys and values that all aliases together stand for.
    pub expanded_nodes: usize,
    /// Length of all texts and keys that all aliases together stand for, in bytes.
    pub expanded_text: usize,
    /// Errors that are collected before the parser gives up.
    pub errors: usize,
}

impl ParseLimits {
    /// For a file that a team writes by hand.
    pub const YAML: Self = Self {
        nodes: 250_000,
        depth: 32,
        text: 64 << 10,
        expanded_nodes: 10_000,
        expanded_text: 1 << 20,
        errors: 100,
    };
    /// For a file of geodata.
    pub const GEODATA: Self = Self {
        nodes: 4_000_000,
        ..Self::YAML
    };
}
