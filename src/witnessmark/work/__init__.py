"""The job as values: procedure, step, hold, limit, evidence, ledger, mark, gate."""
