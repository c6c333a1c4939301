//! A key that signs, made by OpenSSH's own `ssh-keygen`.

use std::path::PathBuf;
use std::process::{Command, Stdio};

/// A key pair, and its public line.
pub struct Key {
    folder: tempfile::TempDir,
    pub public: String,
}

impl Key {
    pub fn new() -> Self {
        let folder = super::scratch::folder().unwrap();
        let path = folder.path().join("key");
        let made = Command::new("ssh-keygen")
            .args(["-q", "-t", "ed25519", "-N", "", "-C", "", "-f"])
            .arg(&path)
            .status()
            .expect("ssh-keygen is installed");
        assert!(made.success());
        let public = std::fs::read_to_string(folder.path().join("key.pub")).unwrap();
        Self { folder, public }
    }

    pub fn path(&self) -> PathBuf {
        self.folder.path().join("key")
    }

    pub fn sign(&self, purpose: &str, text: &str) -> String {
        use std::io::Write as _;
        let mut child = Command::new("ssh-keygen")
            .args(["-q", "-Y", "sign", "-n", purpose, "-f"])
            .arg(self.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        child
            .stdin
            .take()
            .unwrap()
            .write_all(text.as_bytes())
            .unwrap();
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success());
        String::from_utf8(output.stdout).unwrap()
    }
}
