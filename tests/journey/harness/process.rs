//! A helper process that ends with the test: the file server and chromedriver.

use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};

use tempfile::TempDir;

/// What a folder is served with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileServer {
    /// The project's own `scripts/serve.py`.
    Own,
    /// Debian's nginx with the ready site, `scripts/nginx`.
    Nginx,
}

/// A running server on a free loopback port; killed when dropped.
pub struct Server {
    child: Child,
    port: u16,
    // Held open: a process that writes to a closed pipe dies of it.
    _output: BufReader<ChildStdout>,
    // Where it keeps what it needs while it runs.
    _prefix: TempDir,
}

impl Server {
    /// Serves `folder` with the app's own headers; port 0 takes a free one.
    pub fn files(kind: FileServer, folder: &Path, port: u16) -> Self {
        let prefix = TempDir::new().expect("a temporary folder");
        let project = Path::new(env!("CARGO_MANIFEST_DIR"));
        let mut command = Command::new("python3");
        match kind {
            FileServer::Own => command.arg(project.join("scripts/serve.py")),
            FileServer::Nginx => command
                .arg(project.join("tests/python/nginx_site.py"))
                .arg("--prefix")
                .arg(prefix.path()),
        };
        command.arg("--dir").arg(folder);
        command.arg("--port").arg(port.to_string());
        Self::start(command, "127.0.0.1:", prefix)
    }

    pub fn chromedriver() -> Self {
        let program = std::env::var("CHROMEDRIVER").unwrap_or_else(|_| "chromedriver".into());
        let mut command = Command::new(program);
        command.arg("--port=0").stderr(Stdio::null());
        let prefix = TempDir::new().expect("a temporary folder");
        Self::start(command, "successfully on port ", prefix)
    }

    pub fn port(&self) -> u16 {
        self.port
    }

    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// Starts `command` and reads its output up to the line that has a port after `marker`.
    fn start(mut command: Command, marker: &str, prefix: TempDir) -> Self {
        let mut child = command
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap_or_else(|error| {
                panic!(
                    "{command:?} does not start ({error}). Run `make journey`, which installs it."
                )
            });
        let mut output = BufReader::new(child.stdout.take().expect("stdout is piped"));
        let port = output
            .by_ref()
            .lines()
            .map_while(Result::ok)
            .find_map(|line| port_after(&line, marker))
            .unwrap_or_else(|| panic!("{command:?} ended without naming its port"));
        Self {
            child,
            port,
            _output: output,
            _prefix: prefix,
        }
    }
}

fn port_after(line: &str, marker: &str) -> Option<u16> {
    let (_, rest) = line.split_once(marker)?;
    let end = rest
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(rest.len());
    rest[..end].parse().ok()
}

impl Drop for Server {
    fn drop(&mut self) {
        // Either call fails only when the process has already ended, which is what is wanted.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
