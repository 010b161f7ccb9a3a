"""Publishing to a branch of a git repository: the site as it stands becomes one commit.

The author's work is never touched: what they have checked out, what they are about to commit and
the branch they are on stay as they are. Until the one step that moves the branch, nothing but
objects to which nothing points has been added, and git clears such away by itself.
"""

from dataclasses import dataclass
from pathlib import Path
from shlex import quote
from typing import Final

from stavewright.site.errors import CannotRunError
from stavewright.site.publishing.changes import Changes, Site
from stavewright.site.publishing.git import Contents, Repository
from stavewright.site.publishing.programs import Done, printable
from stavewright.site.targets import ToBranch, has_controls

_SIGN: Final = "Written by Stavewright, which replaces the files of this branch whole."
_MESSAGE: Final = f"Publish the site\n\n{_SIGN}\n"
_WHY: Final = "stavewright publish"


@dataclass(frozen=True, slots=True)
class Branch:
    """A branch that a site can be published to."""

    repository: Repository
    name: str
    remote: str | None

    @classmethod
    def of(cls, target: ToBranch, content: Path) -> "Branch":
        """The branch that is meant. Raises `CannotRunError` if it cannot take a site."""
        repository = Repository.around((target.repository or content).resolve())
        branch = cls(repository, target.branch, target.remote)
        branch._require_good_names()
        branch._require_free()
        repository.require_author()
        branch._start()
        return branch

    def changes(self, site: Site) -> Changes:
        """What publishing a site would change; nothing is written, not even objects."""
        _, start = self._start()
        return Changes.between(self._files_of(start), self._files(site, keep=False))

    def publish(self, site: Site) -> tuple[Changes, tuple[str, ...]]:
        """Commit a site, and push it where that is asked for.

        Gives what changed, and what to tell the author. Raises `CannotRunError` where git or the
        remote refuses; the branch has moved to the new commit or has not moved.
        """
        own, start = self._start()
        files = self._files(site, keep=True)
        changes = Changes.between(self._files_of(start), files)
        said = []
        if changes:
            commit = self._commit(own, start, files)
            said.append(f"Committed it as {commit[:10]}.")
        if self.remote is not None:
            self._push(self.remote)
            said.append(f"Pushed it to {self.remote}.")
        return changes, tuple(said)

    def _files_of(self, commit: str | None) -> Contents:
        return self.repository.files_of(commit) if commit is not None else {}

    def _files(self, site: Site, *, keep: bool) -> Contents:
        return self.repository.contents_of(site.files, site.folder, keep=keep)

    @property
    def _reference(self) -> str:
        return f"refs/heads/{self.name}"

    def _require_good_names(self) -> None:
        shown = printable(self.name)
        good = not (has_controls(self.name) or self.name.startswith("-") or self.name == "HEAD")
        if not good or self.repository.attempt("check-ref-format", self._reference).code:
            raise CannotRunError(f"git takes no branch by the name {shown!r}; try `pages`")
        if self.remote is None:
            return
        remotes = self.repository.ask("remote").splitlines()
        if self.remote not in remotes:
            known = ", ".join(f"`{printable(remote)}`" for remote in remotes) or "none at all"
            raise CannotRunError(
                f"there is no remote {printable(self.remote)!r} in {self.repository.folder} to "
                f"push to; it knows {known} (`git remote add NAME ADDRESS` adds one)"
            )

    def _require_free(self) -> None:
        """Raise `CannotRunError` where moving the branch would change what somebody works on."""
        folder = self.repository.where_checked_out(self._reference)
        if folder is not None:
            raise CannotRunError(
                f"the branch {self.name} is checked out in {folder}, where its files would no "
                "longer be what git thinks they are; check out another branch there, or publish "
                "to a branch that is for the site alone, such as `pages`"
            )
        other = self.repository.attempt("symbolic-ref", "--quiet", self._reference)
        if other.code == 0:
            raise CannotRunError(
                f"the branch {self.name} is another name for {printable(other.text)}; publish to a "
                "branch that is for the site alone"
            )

    def _start(self) -> tuple[str | None, str | None]:
        """The commit that the branch stands at, and the one to go on from, if there are any.

        What was last seen of the remote's branch counts if it is ahead, as it is when the site was
        last published from another computer. Raises `CannotRunError` where that commit is not one
        of ours and has files: they would be gone from the branch.
        """
        own = self.repository.commit_of(self._reference)
        start = own
        if self.remote is not None:
            theirs = self.repository.commit_of(f"refs/remotes/{self.remote}/{self.name}")
            if theirs is not None and (own is None or self._is_before(own, theirs)):
                start = theirs
        if start is not None:
            self._require_ours(start)
        return own, start

    def _is_before(self, one: str, other: str) -> bool:
        return self.repository.attempt("merge-base", "--is-ancestor", one, other).code == 0

    def _require_ours(self, commit: str) -> None:
        message = self.repository.message_of(commit)
        if _SIGN in message.splitlines() or not self.repository.files_of(commit):
            return
        subject = printable(message.partition("\n")[0])
        rename = f"git branch -m {quote(self.name)} OTHER"
        raise CannotRunError(
            f"the branch {self.name} ends with a commit that Stavewright did not make, "
            f"{commit[:10]} ({subject}), and all its files would be taken off the branch; name "
            f"another branch, or give this one another name (`{rename}`)"
        )

    def _commit(self, own: str | None, start: str | None, files: Contents) -> str:
        commit = self.repository.commit(self.repository.tree_of(files), start, _MESSAGE)
        # The build may have taken minutes in which somebody went to work on the branch.
        self._require_free()
        self.repository.move(self._reference, commit, own, _WHY)
        return commit

    def _push(self, remote: str) -> None:
        refspec = f"{self._reference}:{self._reference}"
        arguments = ("push", "--porcelain", "--no-follow-tags", "--", remote, refspec)
        done = self.repository.attempt(*arguments)
        if done.code:
            raise CannotRunError(self._not_pushed(remote, done))

    def _not_pushed(self, remote: str, done: Done) -> str:
        if b"\t[rejected]" in done.out:
            return (
                f"{remote} did not take the branch {self.name}: it has commits there that yours "
                "does not go on from, perhaps published from another computer. Nothing was "
                "overwritten. Take up what is there with\n"
                f"  git fetch {quote(remote)} {quote(f'+{self.name}:{self.name}')}\n"
                "and publish again; it becomes a commit on top"
            )
        told = "\n".join(line for line in (done.words, _porcelain_words(done)) if line)
        return (
            f"the site is on your branch {self.name}, but could not be pushed to {remote}; git "
            f"says:\n{told}\nOnce that is mended, publish again"
        )


def _porcelain_words(done: Done) -> str:
    """What `git push --porcelain` says of references that were refused."""
    refused = (line for line in done.text.splitlines() if line.startswith("!\t"))
    return "\n".join(f"  {printable(line.replace(chr(9), ' '))}" for line in refused)
