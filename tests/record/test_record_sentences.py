"""The log as people read it, from a whole job."""

from tests.record.test_record_release import release, work_through
from witnessmark.log.models import Entry
from witnessmark.log.sentences import sentence
from witnessmark.record.names import names_for


def test_a_whole_job_reads_as_sentences(shop, started):
    work_through(shop, started)
    release(shop, "road test")
    entries = list(Entry.objects.all())
    names = names_for(entries)
    said = [sentence(entry, names) for entry in entries]
    for one in (
        "R. Aldane opened Shop tablet 2.",
        "R. Aldane put Water pump, version 1, into the Library.",
        "R. Aldane chose Water pump, 3 steps.",
        "Isla ticked COOLANT, step 1.",
        "Isla drained 9,4 L of Coolant, Drum C2.",
        "Isla took off 6 × Pump bolts, Bag 31.",
        "Isla read Bolt 2, 25.0 N·m, step 2.",
        "Isla put back 6 × Pump bolts.",
        "Isla refilled 9.8 L of Coolant.",
        "Isla finished step 3.",
        "Isla named the cause.",
    ):
        assert one in said
    assert any(one.startswith("R. Aldane marked step 2. ") for one in said)
    assert any(one.startswith("R. Aldane released the vehicle for a road test. ") for one in said)
    for one in said:
        assert one[0].isupper()
        assert "None" not in one
        assert "  " not in one
