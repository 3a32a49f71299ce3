"""The picture library as a worker process has it."""

from proofs.outside.pixels.library import prepare

prepare(1)
