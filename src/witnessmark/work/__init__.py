"""The job as values: procedure, step, evidence, ledger, mark, gate, and the check of steps."""
