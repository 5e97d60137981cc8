"""Drawings of one van as SVG, each with a text version: plan, fuse boards, lights, single-line diagram."""
