"""A process that works beside the window; it is started by the first thing it is asked."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.process import BaseProcess

Serve = Callable[["Connection"], None]


class Beside:
    """A process and the pipe to it. It ends with the window's own process, however that ends."""

    def __init__(self, serve: Serve | None = None) -> None:
        self.serve = serve
        self._link: Connection | None = None
        self._process: BaseProcess | None = None

    def send(self, job: Any) -> None:
        """Send a job to the process.

        Raises
        ------
        OSError
            No process can be had.
        """
        link = self._link or self._start()
        try:
            link.send(job)
        except OSError:  # it was ended from outside
            self.end()
            self._start().send(job)

    def came(self) -> list[Any]:
        """Return what has come since.

        Raises
        ------
        OSError
            The process was ended from outside; the next job starts another.
        """
        replies: list[Any] = []
        try:
            while self._link is not None and self._link.poll():
                replies.append(self._link.recv())
        except (EOFError, OSError) as error:
            if replies:
                return replies  # the next look finds it gone
            self.end()
            raise OSError("the process beside is gone") from error
        return replies

    def end(self) -> None:
        """End the process."""
        if self._link is not None and self._process is not None:
            self._link.close()
            self._process.join(0.2)
            if self._process.is_alive():
                self._process.terminate()
                self._process.join(1.0)
        self._link, self._process = None, None

    def _start(self) -> Connection:
        import atexit
        import multiprocessing  # a start has no time for it
        import warnings

        assert self.serve is not None, "given with the first job at the latest"
        spawn = multiprocessing.get_context("spawn")
        link, theirs = spawn.Pipe()
        process = spawn.Process(target=self.serve, args=(theirs,), daemon=True)
        with theirs, warnings.catch_warnings():
            # a helper of Python's own that was ended from outside is started again, with a warning
            warnings.filterwarnings("ignore", "resource_tracker", UserWarning)
            process.start()
        self._link, self._process = link, process
        atexit.unregister(self.end)
        atexit.register(self.end)
        return link
