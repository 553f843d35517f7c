//! Arguments → window, or a headless command.

fn main() -> std::process::ExitCode {
    let files = std::env::args_os().skip(1).map(std::path::PathBuf::from).collect();
    match second_breath::app::open(files) {
        Ok(()) => std::process::ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("second-breath: {error}");
            std::process::ExitCode::FAILURE
        }
    }
}
