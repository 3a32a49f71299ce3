"""The image library set up as in a worker process."""

from proofs.outside.pixels.vips import prepare

prepare(1)
