//! How many cases a test runs. Each has a few for the everyday loop; `OFFING_CASES=full`, as `.ci/run` sets
//! it, takes all of them.

/// Whether all cases are wanted.
fn all_wanted() -> bool {
    match std::env::var("OFFING_CASES").as_deref() {
        Err(_) | Ok("" | "few") => false,
        Ok("full") => true,
        Ok(other) => panic!("OFFING_CASES is `few` or `full`, not `{other}`"),
    }
}

/// One of two numbers: of cases, or of how many of them one is taken.
pub fn cases<T>(few: T, all: T) -> T {
    if all_wanted() { all } else { few }
}
