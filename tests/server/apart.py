"""Runs what the hub awaits, also where a browser of other tests has a loop already."""

import asyncio
from concurrent.futures import ThreadPoolExecutor


def finished(coroutine):
    """Return what a coroutine returns, run in a thread of its own."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, coroutine).result()
