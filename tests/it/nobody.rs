//! Running a program as a user who has only the rights that everybody has: the
//! administrator's own go past every permission.

use std::fs;
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

const NOBODY: u32 = 65_534;

/// A program that is run without rights of its own.
pub struct Nobody {
    program: PathBuf,
    /// Where the administrator runs the tests, a copy that everybody can reach:
    /// the program itself may lie in a folder of the administrator's alone.
    copy: Option<TempDir>,
}

impl Nobody {
    pub fn of(program: &Path) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        if fs::metadata(folder.path()).expect("the folder").uid() != 0 {
            return Self { program: program.to_owned(), copy: None };
        }
        fs::set_permissions(folder.path(), fs::Permissions::from_mode(0o755)).expect("open to all");
        // By another program: one that is still open here to be written cannot be run.
        let copied = Command::new("cp").arg(program).arg(folder.path()).status().expect("it is copied");
        assert!(copied.success(), "{copied}");
        let program = folder.path().join(program.file_name().expect("a name"));
        Self { program, copy: Some(folder) }
    }

    /// The program, not yet started.
    pub fn command(&self) -> Command {
        let mut command = Command::new(&self.program);
        if self.copy.is_some() {
            command.uid(NOBODY).gid(NOBODY);
        }
        command
    }
}
