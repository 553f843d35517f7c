//! Arguments → window, or a headless command.

mod command;

fn main() -> std::process::ExitCode {
    command::main()
}
