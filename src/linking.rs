//! How the program is linked: at a fixed address where it is one for Linux and glibc. The tables of its dependencies hold fifty
//! thousand addresses, which would otherwise be put right each time it is started. The libraries that it loads, its stacks and its
//! heap still stand where the system puts them; the program itself has no unsafe code.

fn main() {
    println!("cargo:rerun-if-changed=src/linking.rs");
    let is = |key: &str, value: &str| std::env::var(key).is_ok_and(|found| found == value);
    if is("CARGO_CFG_TARGET_OS", "linux") && is("CARGO_CFG_TARGET_ENV", "gnu") && is("CARGO_CFG_TARGET_ARCH", "x86_64") {
        println!("cargo:rustc-link-arg-bins=-no-pie");
    }
}
