//! The program: hands its arguments to the command line of the library and ends with the status that comes back.

fn main() -> std::process::ExitCode {
    parbuckle::faces::run(std::env::args_os())
}
