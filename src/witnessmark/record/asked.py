"""What the sheets of a job ask to be read: whatever is read besides is a look, with its words."""

from witnessmark.errors import BenchError
from witnessmark.fitting.assembly import Place
from witnessmark.record.circuits import circuit_of
from witnessmark.record.fits import assembly_of
from witnessmark.record.models import PinnedSheet, Step
from witnessmark.record.specs import measurement_of


def is_on_a_sheet(step: Step, key: str, position: str) -> bool:
    """Return whether a step or a sheet of its job has this to be read, at this place."""
    measurement = measurement_of(step, key)
    if measurement is not None:
        return position in measurement.places
    if _is_a_test(step, key):
        return not position
    assembly, place = assembly_of(step.job), Place(characteristic=key, position=position)
    return assembly is not None and place in assembly.places()


def _is_a_test(step: Step, key: str) -> bool:
    from witnessmark.diagnosis.observations import parse_test_key

    sheets = PinnedSheet.objects.filter(job_id=step.job_id, kind="circuit", replaced_by=None)
    for sheet in sheets:
        circuit = circuit_of(sheet.text, sheet.title)
        try:
            test = parse_test_key(key)
            if test.state:
                circuit.state(test.state)
            if test.part:
                circuit.part(test.part)
            for letter in (test.point, test.reference):
                if letter:
                    circuit.point(letter)
        except BenchError:
            continue
        return True
    return False


def outcomes_of(key: str) -> tuple[str, ...]:
    """Return the words that the outcome of a test may have; none for what is read as a value."""
    from witnessmark.diagnosis.kinds import KINDS
    from witnessmark.diagnosis.observations import parse_test_key

    try:
        return tuple(KINDS[parse_test_key(key).kind].outcomes)
    except BenchError:
        return ()
