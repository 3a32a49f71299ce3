"""The connection to a cluster: its workers, and work that is sent to them as bytes.

This is the only module that imports ``distributed``, and only when a cluster is asked for.
"""

import concurrent.futures
import logging
import queue
import socket
import threading
import warnings
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from typing import Any
from urllib.parse import urlsplit

from proofs.errors import ClusterError, UsageError

_CONNECT_SECONDS = 5
_ANSWER_SECONDS = 5
_RESULT_SECONDS = 20  # for a result that is ready, and at most some megabytes
_CLOSE_SECONDS = 2
_LOGGERS = "distributed", "tornado", "asyncio", "bokeh", "dask"

Work = Callable[[bytes], bytes]


class LostWorkError(Exception):
    """No worker will answer: the one that had the work is gone."""


class Connection:
    """An open connection to a scheduler. Each piece of work that is begun has a number."""

    def __init__(self, client: Any, address: str) -> None:
        self._client = client
        self._address = address
        self._futures: dict[int, Any] = {}
        self._finished: queue.SimpleQueue[int] = queue.SimpleQueue()
        self._count = 0

    def workers(self) -> Mapping[str, str]:
        """Return the names of the workers that are there now, by their addresses.

        Raises ``ClusterError`` if the scheduler does not answer.
        """
        try:
            identity = self._client.sync(
                self._client.scheduler.identity, n_workers=-1, callback_timeout=_ANSWER_SECONDS
            )
        except (OSError, TimeoutError, RuntimeError):
            raise ClusterError(
                f"--cluster {self._address}: the scheduler does not answer any more; start it"
                " again, then the same command, which makes what is left"
            ) from None
        return {address: str(info["name"]) for address, info in identity["workers"].items()}

    def begin(self, work: Work, content: bytes, worker: str) -> int:
        """Have one worker do this, and return the number of the work.

        ``work`` must be a function of a module; ``worker`` is an address.
        """
        self._count += 1
        number = self._count
        future = self._client.submit(
            work, content, workers=[worker], allow_other_workers=False, pure=False, retries=0
        )
        self._futures[number] = future
        future.add_done_callback(lambda _: self._finished.put(number))
        return number

    def answers(self, seconds: float) -> Iterator[tuple[int, bytes | Exception]]:
        """Yield the numbers of finished work, each with its result or what went wrong.

        Waits at most this long for the first one.
        """
        with suppress(queue.Empty):
            number = self._finished.get(timeout=seconds)
            while True:
                if number in self._futures:
                    yield number, self._result(self._futures.pop(number))
                number = self._finished.get_nowait()

    def forget(self, number: int) -> None:
        """Cancel work, unless it has begun; its result will not be asked for."""
        if future := self._futures.pop(number, None):
            with suppress(OSError, TimeoutError, RuntimeError):
                future.cancel()

    def close(self) -> None:
        """Cancel what has not begun and end the connection."""
        for number in list(self._futures):
            self.forget(number)
        with suppress(OSError, TimeoutError, RuntimeError):
            self._client.close(timeout=_CLOSE_SECONDS)

    def _result(self, future: Any) -> bytes | Exception:
        import distributed

        lost = (distributed.KilledWorker, TimeoutError, concurrent.futures.CancelledError)
        try:
            content: bytes = future.result(timeout=_RESULT_SECONDS)
        except (*lost, distributed.client.FutureCancelledError):
            return LostWorkError()
        except Exception as error:  # raised by the work; whoever asked for it judges it
            return error
        return content


@contextmanager
def connected(address: str) -> Iterator[Connection]:
    """Yield a connection to the scheduler at an address such as ``tcp://10.0.0.5:8786``.

    Raises ``UsageError`` if this is not an address or the extra is not installed, and
    ``ClusterError`` if no scheduler answers within some seconds.
    """
    try:
        import dask
        import distributed
    except ImportError:
        raise UsageError(
            "--cluster needs the package 'distributed'; install it with: pip install"
            " 'proofs[cluster]'"
        ) from None
    _silence()
    _refuse_silent(address)
    settings = {"distributed.comm.timeouts.connect": f"{_CONNECT_SECONDS}s"}
    with dask.config.set(settings), warnings.catch_warnings():
        warnings.simplefilter("ignore")  # differing versions of it, which we do not depend on
        connection = Connection(_client(distributed.Client, address), address)
        try:
            yield connection
        finally:
            connection.close()


def _client(open_client: Any, address: str) -> Any:
    """A client of a scheduler.

    It is opened on a thread of its own: where something else answers, that may never end.
    """
    opened: queue.SimpleQueue[Any] = queue.SimpleQueue()

    def open_it() -> None:
        try:
            opened.put(open_client(address, timeout=_CONNECT_SECONDS, set_as_default=False))
        except Exception as error:  # on a thread of its own: it is looked at below
            opened.put(error)

    threading.Thread(target=open_it, daemon=True).start()
    with suppress(queue.Empty):
        client = opened.get(timeout=2 * _CONNECT_SECONDS)
        if not isinstance(client, Exception):
            return client
    raise ClusterError(
        f"--cluster {address}: what answers there is no scheduler of a cluster, or one of another"
        " version; correct the address"
    )


def _refuse_silent(address: str) -> None:
    """Raise an error unless something listens at an address."""
    try:
        parts = urlsplit(address)
        host, port = parts.hostname, parts.port
    except ValueError:
        host = port = None
    if not (host and port):
        raise UsageError(
            f"--cluster {address}: is not the address of a scheduler; write it as"
            " tcp://COMPUTER:PORT, such as tcp://10.0.0.5:8786"
        )
    try:
        socket.create_connection((host, port), timeout=_CONNECT_SECONDS).close()
    except OSError as error:
        reason = error.strerror or "no answer"
        raise ClusterError(
            f"--cluster {address}: no scheduler can be reached there ({reason}); start one, or"
            " correct the address"
        ) from None


def _silence() -> None:
    """Keep the words of the cluster's own libraries off the terminal."""
    for name in {*_LOGGERS, *logging.root.manager.loggerDict}:
        if name.partition(".")[0] in _LOGGERS:
            logger = logging.getLogger(name)
            logger.propagate = False
            # Without any handler, Python would print what is logged.
            logger.handlers = [logging.NullHandler()]
