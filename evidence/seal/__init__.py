"""Sealing and verifying, on bytes and mappings alone.

Base modules of this stage, which its others may import: ``layout``, ``paths``, ``tag``, ``leaves``, ``salt``,
``public_key``, ``verdicts`` and ``bag``. Above them stand ``sign`` (makes a bag's tag files), the three ``steps_*``,
``verify``, which runs the steps in their order, and ``report`` (words for what ``verify`` found).
"""
