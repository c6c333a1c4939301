//! The `offing` program.

fn main() -> std::process::ExitCode {
    offing::run()
}
