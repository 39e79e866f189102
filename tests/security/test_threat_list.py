"""The list of threats: what could be tried, what stops it, and the test that shows it. Every test named here exists."""

from dataclasses import dataclass
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]


@dataclass(frozen=True)
class Threat:
    """Something that a bad neighbour could try."""

    tried: str
    stopped_by: str
    shown_by: tuple[str, ...]
    """FILE::TEST."""


THREATS = (
    Threat(
        "writing into another member's fishroom, or settling another's reservation",
        "one table of standings and areas (core/club/permissions) asked for every event; others' reservations cannot be named",
        (
            "club/test_permissions.py::test_every_standing_may_do_what_it_is_for_and_no_more",
            "club/test_permissions.py::test_everything_that_can_happen_belongs_to_an_area",
            "security/test_other_people.py::test_a_member_changes_nothing_in_another_keepers_fishroom",
        ),
    ),
    Threat(
        "reading or changing another club's data",
        "names are looked up among the fishrooms shown in the writer's own clubs only",
        (
            "security/test_other_people.py::test_a_member_of_another_club_changes_nothing",
            "security/test_other_people.py::test_a_member_of_another_club_learns_nothing",
        ),
    ),
    Threat(
        "undoing another's reservation, or getting fish back that were promised to others meanwhile",
        "taking back is the writer's own; a promise that would stand again is checked like a new one, under the stream's lock",
        (
            "fuzz/machine.py::somebody_undoes",
            "fuzz/test_the_last_six.py::test_many_buyers_at_once_are_never_promised_more_than_there_is",
        ),
    ),
    Threat(
        "making oneself organiser or keeper",
        "roles come with invitations, which only organisers and keepers make, and organisers alone for organisers",
        (
            "security/test_other_people.py::test_a_buyer_neither_sets_the_club_nor_invites",
            "security/test_other_people.py::test_a_keeper_makes_no_organiser",
        ),
    ),
    Threat(
        "forged, foreign or old buttons",
        "a button is a random token; what it does, for whom and until when stands in the store; it works once",
        (
            "security/test_tokens.py::test_a_forged_button_changes_nothing",
            "security/test_tokens.py::test_a_button_is_no_good_in_another_members_hands",
            "security/test_tokens.py::test_a_button_works_once",
            "store/test_messages.py::test_an_old_button_says_so_and_a_forged_one_is_unknown",
            "telegram/test_hearing.py::test_a_button_of_foreign_make_changes_nothing_and_says_so",
        ),
    ),
    Threat(
        "an invitation or sign-in link used again, or found in a stolen database",
        "one use, bound to who used it, two weeks; only its hash is kept",
        (
            "security/test_tokens.py::test_an_invitation_lets_one_person_in_and_no_second",
            "security/test_tokens.py::test_an_invitation_runs_out",
            "store/test_people.py::test_the_secret_of_an_invitation_is_not_in_the_database",
            "page/test_joining.py::test_a_sign_in_link_works_once_and_brings_no_second_person",
            "page/test_joining.py::test_looking_at_a_link_does_not_use_it_up",
        ),
    ),
    Threat(
        "guessing codes",
        "long random codes, and wrong guesses are counted for each who guesses",
        (
            "security/test_tokens.py::test_codes_cannot_be_guessed_for_long",
            "store/test_people.py::test_guessing_codes_is_slowed_down",
            "page/test_guard.py::test_signing_in_cannot_be_tried_for_ever",
        ),
    ),
    Threat(
        "HTML in names and messages",
        "front doors escape everything; pages carry a policy without inline scripts",
        (
            "telegram/test_answering.py::test_what_looks_like_markup_is_shown_as_it_is",
            "page/test_guard.py::test_no_page_holds_a_script_or_style_of_its_own",
            "page/test_guard.py::test_every_answer_forbids_what_is_not_ours",
        ),
    ),
    Threat(
        "formulas in names and notes that a spreadsheet would run",
        "cells that begin like a formula are written as text",
        (
            "security/test_leaks.py::test_no_word_becomes_a_formula_in_an_export",
            "pictures/test_tables.py::test_no_name_becomes_a_formula",
        ),
    ),
    Threat(
        "photos that are too large, broken, or say where they were taken",
        "limits before a file is opened; every photo is drawn anew without its metadata",
        (
            "security/test_leaks.py::test_a_photo_that_is_too_large_is_refused_with_a_sentence",
            "pictures/test_photos.py::test_a_small_file_cannot_ask_for_a_room_full_of_memory",
            "pictures/test_photos.py::test_a_photo_forgets_where_it_was_taken",
            "pictures/test_photos.py::test_no_damage_makes_the_bot_stumble",
        ),
    ),
    Threat(
        "calling the webhook without being the platform",
        "a secret header, compared in constant time; without a secret no webhook starts",
        ("telegram/test_doors.py::test_a_webhook_takes_nothing_without_its_secret",),
    ),
    Threat(
        "stealing or riding a session of the page",
        "cookies kept from scripts and other sites, only their hash stored; Host and Origin checked; tokens in forms",
        (
            "page/test_guard.py::test_the_session_cookie_is_kept_from_scripts_and_other_sites",
            "page/test_guard.py::test_only_the_hash_of_a_session_is_kept",
            "page/test_guard.py::test_a_form_from_another_page_is_refused",
            "page/test_guard.py::test_a_socket_from_another_page_is_refused",
            "page/test_guard.py::test_a_socket_by_a_rebound_name_is_refused",
            "page/test_joining.py::test_a_session_ends_after_its_time",
        ),
    ),
    Threat(
        "contacts leaking through answers, exports, history or errors",
        "shown to the other side of a confirmed reservation, and to the organiser who asks for one; exports hold one's own; errors hide parameters",
        (
            "security/test_other_people.py::test_the_keepers_contact_is_for_the_buyer_of_a_confirmed_reservation",
            "security/test_other_people.py::test_no_answer_to_anybody_holds_a_contact_by_the_way",
            "security/test_other_people.py::test_what_a_member_takes_along_is_their_own",
            "security/test_other_people.py::test_what_a_keeper_takes_along_holds_no_buyers_contact",
            "security/test_leaks.py::test_an_error_of_the_database_names_no_words_and_no_contacts",
        ),
    ),
    Threat(
        "tokens, contacts or messages in logs",
        "a filter cleans tokens out of every record; what is said is never logged",
        (
            "security/test_leaks.py::test_nothing_that_is_said_is_logged",
            "telegram/test_hiding.py::test_a_busy_day_logs_no_token",
            "telegram/test_hiding.py::test_an_address_in_a_traceback_is_cleaned",
            "store/test_trouble.py::test_what_members_wrote_is_in_no_error",
        ),
    ),
    Threat(
        "a message on which the bot stumbles, sent to stop it",
        "each message is one transaction; after three tries it is set aside, the organiser is told, others go on",
        (
            "security/test_leaks.py::test_a_poisoned_message_harms_no_other",
            "telegram/test_nothing_lost.py::test_what_fails_three_times_is_set_aside_and_the_organiser_is_told",
            "store/test_messages.py::test_a_poisoned_message_is_set_aside_after_three_tries_and_the_next_goes_on",
        ),
    ),
    Threat(
        "floods of messages, sockets or forms",
        "buckets per member and per address; frames and forms have a largest size",
        (
            "page/test_guard.py::test_messages_that_come_too_fast_wait_and_are_not_lost",
            "page/test_guard.py::test_a_member_cannot_open_sockets_without_end",
            "page/test_guard.py::test_an_oversized_form_is_refused",
        ),
    ),
    Threat(
        "reading the database file on a shared machine",
        "made for its owner alone; whoever is forgotten is blanked in it",
        (
            "store/test_schema.py::test_a_new_database_is_for_its_owners_eyes",
            "store/test_people.py::test_nothing_of_a_forgotten_member_is_left_but_the_journal",
        ),
    ),
    Threat(
        "a backup made to run code, or to say what its journal does not",
        "backups are plain rows, and states are replayed from them; snapshots are typed data, are in no backup, and are checked",
        (
            "store/test_archive.py::test_an_archive_that_brings_snapshots_of_its_own_is_refused",
            "store/test_archive.py::test_snapshots_are_in_no_backup_of_either_kind",
            "store/test_snapshots.py::test_nothing_that_stands_in_a_snapshot_is_run",
            "club/test_looking_through.py::test_a_wrong_snapshot_is_thrown_away_and_the_others_stay",
        ),
    ),
)


@pytest.mark.parametrize("threat", THREATS, ids=lambda threat: threat.tried[:40])
def test_every_threat_is_met_by_a_test_that_exists(threat: Threat) -> None:
    assert threat.stopped_by
    for shown in threat.shown_by:
        file, _, name = shown.partition("::")
        assert f"def {name}(" in (TESTS / file).read_text("utf-8"), f"{shown} is not there"


def table() -> str:
    """The list as it stands in the developers' handbook: `python -m tests.security.test_threat_list` prints it."""
    rows = ["| what could be tried | what stops it | shown by |", "|---|---|---|"]
    for threat in THREATS:
        shown = "<br>".join(f"`{each.partition('::')[2]}`" for each in threat.shown_by)
        rows.append(f"| {threat.tried} | {threat.stopped_by} | {shown} |")
    return "\n".join(rows)


if __name__ == "__main__":
    print(table())
