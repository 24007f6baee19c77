"""Readers that misbehave on purpose, for the guard's child to run."""

import os
import sys
import time

from evidence.exhibits import Answer


def echo(data: bytes, where: str) -> Answer:
    """Give back what came in, the process id and the environment."""
    return Answer({"where": where, "pid": os.getpid(), "environment": sorted(os.environ)}, (data, data[::-1]))


def work(data: bytes, where: str) -> Answer:
    """Use the processor for less than the limit."""
    begun = time.process_time()
    while time.process_time() < begun + 0.7:
        hash((data, where))
    return Answer({"milliseconds": int((time.process_time() - begun) * 1000)})


def hang(data: bytes, where: str) -> Answer:
    """Wait without using the processor."""
    time.sleep(3600)
    return Answer([len(data), where])


def spin(data: bytes, where: str) -> Answer:
    """Use the processor for ever."""
    while True:
        hash((data, where))


def grow(data: bytes, where: str) -> Answer:
    """Ask for more memory than the limit."""
    return Answer([where], (bytearray(len(data) + (1 << 34)),))  # type: ignore[arg-type]


def sink(data: bytes, where: str) -> Answer:
    """Call itself without end."""
    return sink(data, where)


def die(data: bytes, where: str) -> Answer:
    """End the process as a crash would."""
    os._exit(11 + 0 * len(data + where.encode()))


def fail(data: bytes, where: str) -> Answer:
    """Raise something that nobody expects."""
    raise ZeroDivisionError(where, len(data))


def print_much(data: bytes, where: str) -> Answer:
    """Write to standard output, as a careless library does."""
    sys.stdout.write("x" * 100_000)
    sys.stdout.flush()
    os.write(1, b"\xff" * 1000)
    return Answer([where, len(data)])


def write_garbage(data: bytes, where: str) -> Answer:
    """Write to the answer pipe itself, as a reader taken over by an attack could."""
    for descriptor in range(3, 20):
        try:
            os.write(descriptor, b"\x00\x00\x00\x00\x00\x00\x00\x02}{")
        except OSError:
            continue
    return Answer([where, len(data)])


def claim_much(data: bytes, where: str) -> Answer:
    """Announce an answer head larger than any real one."""
    for descriptor in range(3, 20):
        try:
            os.write(descriptor, b"\x00\x00\x7f\x00\x00\x00\x00\x00")
        except OSError:
            continue
    return Answer([where, len(data)])
