"""Drawings of one van as SVG text, each with a text twin: plan, fuse boards, lights, single-line diagram."""
