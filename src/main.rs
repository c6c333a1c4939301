//! The `offing` program.

fn main() {}
