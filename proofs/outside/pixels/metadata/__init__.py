"""EXIF, XMP and IPTC, from source files into finished ones."""
