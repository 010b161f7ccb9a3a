"""One git repository, asked and told through the `git` program.

Only plumbing: commands that read and write objects and references, and nothing that looks at the
working tree or writes the index.
"""

import os
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final, Self

from stavewright.site.errors import CannotRunError
from stavewright.site.publishing.programs import Done, printable, require, run

_ELSEWHERE: Final = {
    "GIT_ALTERNATE_OBJECT_DIRECTORIES",
    "GIT_COMMON_DIR",
    "GIT_DIR",
    "GIT_GRAFT_FILE",
    "GIT_INDEX_FILE",
    "GIT_INTERNAL_SUPER_PREFIX",
    "GIT_NAMESPACE",
    "GIT_OBJECT_DIRECTORY",
    "GIT_PREFIX",
    "GIT_REPLACE_REF_BASE",
    "GIT_SHALLOW_FILE",
    "GIT_WORK_TREE",
}
"""What git sets for the hooks it runs: with these, every repository would be that of the hook."""

Contents = dict[str, tuple[str, str]]
"""Mode and name of the content of files, by path."""

_FILE_MODE: Final = "100644"
"""How git writes that something is a plain file that is not a program."""


class Repository:
    """A repository. Every method raises `CannotRunError`, with git's own words, if git refuses."""

    def __init__(self, folder: Path, git_folder: Path) -> None:
        self.folder = folder
        """Where commands run: paths in the repository's settings may be relative to that."""
        self._git_folder = git_folder
        self._environment = {k: v for k, v in os.environ.items() if k not in _ELSEWHERE}

    @classmethod
    def around(cls, folder: Path) -> Self:
        """The repository that a folder lies in."""
        require("git", "Git")
        if not folder.is_dir():
            raise CannotRunError(f"there is no folder {folder}, which should hold a git repository")
        repository = cls(folder, folder)
        found = repository.attempt("rev-parse", "--absolute-git-dir")
        if found.code and b"not a git repository" in found.errors:
            raise CannotRunError(
                f"{folder} lies in no git repository, so there is nothing to put a branch into; "
                f"make one there with `git init`, or name another with --repository"
            )
        return cls(folder, Path(repository._answer(found, "open the repository")))

    def attempt(self, *arguments: str, given: bytes = b"") -> Done:
        """Run a git command, and see what came of it."""
        command = ("git", "-C", str(self.folder), *arguments)
        return run(command, given=given, environment=self._environment)

    def ask(self, *arguments: str, given: bytes = b"") -> str:
        """What a git command answers."""
        return self._answer(self.attempt(*arguments, given=given), f"run `git {arguments[0]}`")

    def require_author(self) -> None:
        """Raise `CannotRunError` where git does not know in whose name to commit."""
        for name in ("GIT_AUTHOR_IDENT", "GIT_COMMITTER_IDENT"):
            if self.attempt("var", name).code:
                raise CannotRunError(
                    "git does not know in whose name to commit; tell it once:\n"
                    "  git config --global user.name 'Your name'\n"
                    "  git config --global user.email you@example.org\n"
                    "and publish again"
                )

    def where_checked_out(self, reference: str) -> str | None:
        """The folder in which a branch is checked out; None where it is nowhere."""
        folder = ""
        for line in self.ask("worktree", "list", "--porcelain").splitlines():
            word, _, rest = line.partition(" ")
            if word == "worktree":
                folder = rest
            elif word == "branch" and rest == reference:
                return printable(folder)
        return None

    def commit_of(self, reference: str) -> str | None:
        """The commit a reference stands at; None where there is no such reference."""
        found = self.attempt("rev-parse", "--verify", "--quiet", f"{reference}^{{commit}}")
        return found.text if found.code == 0 else None

    def message_of(self, commit: str) -> str:
        """What a commit says, whole."""
        _, _, message = self.ask("cat-file", "commit", commit).partition("\n\n")
        return message

    def files_of(self, commit: str) -> Contents:
        """Mode and name of the content of each file in a commit, by path."""
        files: Contents = {}
        for entry in self.ask("ls-tree", "-r", "-z", "--full-tree", commit).split("\0"):
            if entry:
                about, _, path = entry.partition("\t")
                mode, _, name = about.split(" ")
                files[path] = (mode, name)
        return files

    def contents_of(self, paths: Iterable[str], folder: Path, *, keep: bool) -> Contents:
        """As `files_of`, of files on the disk; their contents are put into the repository, or not.

        Contents are taken as they are, whatever the repository says about line ends.
        """
        paths = tuple(paths)
        arguments = ["hash-object", "--no-filters", "--stdin-paths", *(["-w"] if keep else [])]
        # Run among the files, so that no folder's name can break a line; and what begins with a
        # dot does not begin with a quotation mark, which git would take for quoting.
        done = run(
            ("git", f"--git-dir={self._git_folder}", *arguments),
            given="".join(f"./{path}\n" for path in paths).encode(),
            folder=folder,
            environment=self._environment,
        )
        names = self._answer(done, "take the files of the site").split()
        return {path: (_FILE_MODE, name) for path, name in zip(paths, names, strict=True)}

    def tree_of(self, files: Contents) -> str:
        """A tree of exactly these files, made in an index of its own."""
        with tempfile.TemporaryDirectory(prefix="stavewright-") as scratch:
            environment = {**self._environment, "GIT_INDEX_FILE": str(Path(scratch) / "index")}

            def ask(*arguments: str, given: bytes = b"") -> str:
                command = ("git", f"--git-dir={self._git_folder}", *arguments)
                done = run(command, given=given, folder=Path(scratch), environment=environment)
                return self._answer(done, "put the files of the site together")

            ask("update-index", "-z", "--index-info", given=b"".join(_entries(files)))
            return ask("write-tree")

    def commit(self, tree: str, parent: str | None, message: str) -> str:
        """A new commit, on no branch yet."""
        parents = ("-p", parent) if parent is not None else ()
        encoding = ("-c", "i18n.commitEncoding=UTF-8")
        return self.ask(*encoding, "commit-tree", tree, *parents, "-F", "-", given=message.encode())

    def move(self, reference: str, commit: str, old: str | None, why: str) -> None:
        """Move a reference from one commit to another, if it still stands at the old one."""
        self.ask("update-ref", "--no-deref", "-m", why, reference, commit, old or "")

    def _answer(self, done: Done, what: str) -> str:
        if done.code:
            raise CannotRunError(
                f"git could not {what} for {self.folder}; it says:\n{done.words}\n"
                "The branch is as it was"
            )
        return done.text


def _entries(files: Contents) -> Iterator[bytes]:
    for path, (mode, name) in files.items():
        yield f"{mode} {name}\t{path}\0".encode()
