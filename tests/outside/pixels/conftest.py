"""The picture library as a worker process has it."""

from proofs.outside.pixels.vips import prepare

prepare(1)
