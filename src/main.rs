//! The `offing` program.

/// Most of what a command does is to make small things: it takes a tenth to a fifth less time with this than with
/// the system's own (docs/reference/performance.md).
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    offing::run()
}
