//! The program: hands its arguments to the command line of the library and ends with the status that comes back.

// A sheet is made of thousands of small pieces of text; the allocator of the system took a third of the time of a build.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    parbuckle::faces::run(std::env::args_os())
}
