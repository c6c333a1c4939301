//! Running where recursion in a library cannot end the process.

/// Stack of every thread that reads files or evaluates expressions. The parsers below are bounded
/// in depth; this leaves them room for it many times over, in unoptimised builds too.
const STACK: usize = 32 << 20;

/// Runs a piece of work, and all parallel work that it begins, on threads with large stacks.
///
/// # Panics
/// Where the operating system gives no threads at all.
pub fn on_large_stacks<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    match rayon::ThreadPoolBuilder::new().stack_size(STACK).build() {
        Ok(pool) => pool.install(work),
        Err(error) => panic!("could not start a thread: {error}"),
    }
}
