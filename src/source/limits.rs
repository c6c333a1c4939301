//! How much is read at most.

/// The largest size of one file, in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Limit(u64);

impl Limit {
    /// For a file that a team writes by hand: 1 MiB.
    pub const YAML: Self = Self(1 << 20);
    /// For a file of geodata: 256 MiB. Only soundings are as large, which are read one by one.
    pub const GEODATA: Self = Self(256 << 20);
    /// For a shoreline, and any other file of geodata that is held whole as values: 64 MiB.
    pub const SHORELINE: Self = Self(64 << 20);

    /// Another limit.
    #[must_use]
    pub const fn from_bytes(bytes: u64) -> Self {
        Self(bytes)
    }

    /// The limit in bytes.
    #[must_use]
    pub const fn bytes(self) -> u64 {
        self.0
    }
}

/// The bounds on a tree as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Files and folders in a tree.
    pub files: usize,
    /// Length of a path, in bytes.
    pub path_length: usize,
    /// Names in a path: folders and the file itself.
    pub depth: usize,
    /// YAML files in a tree.
    pub yaml_files: usize,
    /// Size of all files together that teams write by hand and that are parsed at once, in bytes.
    pub yaml_together: u64,
    /// Size of all of these together that are read, be it only for their headings, in bytes.
    pub yaml_read: u64,
    /// Size of all files of soundings together, in bytes.
    pub geodata_together: u64,
    /// Size of all shorelines together, in bytes.
    pub shorelines_together: u64,
}

impl Limits {
    /// The bounds that apply unless a caller sets others.
    pub const DEFAULT: Self = Self {
        files: 200_000,
        path_length: 1024,
        depth: 32,
        yaml_files: 25_000,
        yaml_together: 64 << 20,
        yaml_read: 256 << 20,
        geodata_together: 256 << 20,
        shorelines_together: 64 << 20,
    };
}

impl Default for Limits {
    fn default() -> Self {
        Self::DEFAULT
    }
}
