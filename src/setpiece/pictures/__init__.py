"""Bytes of pictures: kind, metadata, decoding, focus, the clock card, renditions."""
