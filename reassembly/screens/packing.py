"""A bag is packed, labelled, scanned back and put on a shelf: the same from every screen of a job."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.asks import two_groups
from reassembly.job.bag import bags
from reassembly.job.job import bag_code, parts
from reassembly.job.struck import repacked
from reassembly.screens.pick import PickScreen
from reassembly.screens.prompt import PromptScreen

if TYPE_CHECKING:
    from collections.abc import Callable

    from labels.label import Label
    from reassembly.job.bag import Bag
    from reassembly.job.entries import Fact
    from reassembly.job.job import Part
    from reassembly.screens.frame import Frame

NO_PRINTER = "No label printer is chosen (l on the bench screen chooses one): write {} on it."


def choose_bag(screen: Frame, part: Part, new: Callable[[], None]) -> None:
    """`new` packs the part into a bag of its own; where it is in one already, or the job has others, it is asked first.
    The bag scanned last stands before a new one, and to leave it as it is before a second one."""
    mine = _bags_of(screen, part)
    others = [bag for bag in [*bags(screen.job).values()][::-1] if bag not in mine]
    if not mine and not others:
        new()
        return
    in_hand = [bag for bag in others if screen.bench.bag == (screen.job.id, bag.code)]

    def into(bag: Bag) -> tuple[str, Callable[[], None]]:
        return f"into bag {two_groups(bag.code)} ({holds(screen, bag)})", lambda: put_into(screen, bag, part)

    ways: list[tuple[str, Callable[[], None]]] = [
        *([("no, leave it", lambda: screen.answer("nothing was packed"))] if mine else []),
        *map(into, in_hand),
        ("a second bag" if mine else "a new bag", new),
        *(into(bag) for bag in others if bag not in in_hand),
    ]
    packed = ", ".join(two_groups(bag.code) for bag in mine)
    question = f"Where do the small things of {part.name} go?"
    if mine:
        question = f"{part.name} is in bag {packed} already. Pack more of it?"
    screen.ask(PickScreen("BAG", question, [words for words, _ in ways]), lambda number: ways[number][1]())


def put_into(screen: Frame, bag: Bag, part: Part) -> None:
    """Put a part's small things into a bag that holds others already. Its label is printed anew, as the words on it
    are others now."""
    told = f"bag {two_groups(bag.code)} holds {holds(screen, bag)}, {part.name}"
    printer = screen.bench.sending.press.settings.printer
    copy = _next_copy(screen, bag.code)
    facts = [*repacked(bag, (*bag.packed.fact.parts, part.id), f"{part.name} went into it as well")]
    if printer:
        facts.append(said.LabelPrinted(code=bag.code, copy_number=copy, printer=printer))
    if not screen.say_all(facts, told):
        return
    if printer:
        _print(screen, bag.code, copy)
        screen.answer(f"kept: {told}; its label goes to {printer} anew", "kept")
    else:
        screen.answer(f"kept: {told}. Add it to the words on the bag", "kept")


def holds(screen: Frame, bag: Bag) -> str:
    """What is in a bag, in words."""
    every = parts(screen.job)
    names = ", ".join(every[p].name if p in every else p for p in bag.packed.fact.parts)
    return names or bag.packed.fact.holds


def _bags_of(screen: Frame, part: Part) -> list[Bag]:
    return [bag for bag in bags(screen.job).values() if part.id in bag.packed.fact.parts]


def pack(screen: Frame, part: Part, code: str = "") -> None:
    """Put a part's small things into a bag under a new code, or under one scanned from a label not yet used."""
    from reassembly.record.printing import new_code

    bag = code or new_code(screen.desk)
    say_packed(screen, said.BagPacked(bag=bag, parts=(part.id,)), part.name, labelled=bool(code))


def say_packed(screen: Frame, fact: said.BagPacked, holds: str, *, labelled: bool = False) -> bool:
    """Keep it and print its label; where no printer is chosen, say what to write on it. Without a label of its own a
    bag counts as seen when its check is confirmed at refit. False when it could not be kept."""
    bag, told = bag_code(fact.bag), f"bag {two_groups(fact.bag)} holds {holds}"
    printer = "" if labelled else screen.bench.sending.press.settings.printer
    copy = _next_copy(screen, bag)
    facts: list[Fact] = [fact]
    if labelled:
        facts.append(said.LabelSeen(code=bag, scanned=True))
    elif printer:
        facts.append(said.LabelPrinted(code=bag, copy_number=copy, printer=printer))
    if not screen.say_all(facts, told):
        return False
    if labelled:
        screen.bench.bag = screen.job.id, bag
        screen.bench.sending.seen(bag)
    elif printer:
        _print(screen, bag, copy)
        screen.answer(f"kept: {told}; its label goes to {printer}", "kept")
    else:
        screen.answer(f"kept: {told}. Write {two_groups(bag)} on it", "kept")
    return True


def print_again(screen: Frame, code: str) -> None:
    """One more label for a bag; one that still waits, or was given up, is sent instead."""
    press = screen.bench.sending.press
    printer, bag = press.settings.printer, bags(screen.job).get(bag_code(code))
    waiting = press.waits(bag_code(code))
    if bag is None:
        screen.answer("no bag here yet: F4 packs one", "warn")
    elif not printer:
        screen.answer(NO_PRINTER.format(two_groups(code)), "warn")
    elif waiting:
        screen.bench.sending.start(again=waiting.label.code if waiting.why else "")
        screen.answer(f"the label of {two_groups(code)} still waits, no second one is needed", "warn")
    else:
        copy = _next_copy(screen, bag.code)
        if screen.say(said.LabelPrinted(code=bag.code, copy_number=copy, printer=printer)):
            _print(screen, bag.code, copy)


def _next_copy(screen: Frame, code: str) -> int:
    bag = bags(screen.job).get(code)
    return max(screen.bench.sending.press.next_copy(code), bag.copies + 1 if bag else 1)


def print_label_again(screen: Frame, part: Part | None) -> None:
    """One more label for the bag a part was packed in last."""
    of_part = _bags_of(screen, part) if part else []
    print_again(screen, of_part[-1].code if of_part else "")


def _print(screen: Frame, code: str, copy: int) -> None:
    from reassembly.record.printing import label_of

    label = label_of(screen.job, code, copy)
    if label is not None:
        send(screen, label, copy)


def send(screen: Frame, label: Label, copy: int = 1) -> None:
    """Put any label on the printer's list."""
    screen.bench.sending.press.ask(label, copy)
    screen.bench.sending.start()


def take_label(
    screen: Frame, part: Part | None, code: str, ask: Callable[[Callable[[], None]], None] | None = None
) -> bool:
    """A label not used yet packs the part, once `ask` calls what it is given; a bag of this job says what
    is in it and waits for the shelf scanned next. Labels of others are left to the bench."""
    from reassembly.record.printing import is_of_bag

    if not is_of_bag(code):
        return False
    bag = bags(screen.job).get(code)
    if bag is not None:
        _take_bag(screen, part, bag)
        return True
    owner = screen.desk.owner_of(code)
    if owner is not None and not (owner.what == "label" and owner.job == screen.job.id):
        return False
    if part is None:
        screen.answer("an unused label: name a part first, then scan it", "warn")
    else:

        def into_it() -> None:
            if bag_code(code) in bags(screen.job) or screen.desk.owner_of(code) != owner:
                screen.answer(f"nothing was packed: label {two_groups(code)} was used meanwhile, scan it again", "warn")
                return
            pack(screen, part, code)
            _tell_of_stranger(screen, code)

        if ask:
            ask(into_it)
        else:
            into_it()
    return True


class WhoseBagScreen(PickScreen):
    """A line is half typed: the bag may be meant for the part in it. What is typed stays, and one label is asked about
    at a time."""

    def __init__(self, part: Part, code: str) -> None:
        self._code = code
        question = f"A line is half typed. Whose small things go into bag {two_groups(code)}?"
        lines = ("the part in the line: say it first, then scan the bag again", f"{part.name}, the part under the bar")
        super().__init__("WHOSE BAG?", question, lines)

    def scanned(self, code: str) -> bool:
        other = "" if bag_code(code) == bag_code(self._code) else f" label {two_groups(code)} is not taken;"
        self.answer(f"{other} first say whose bag {two_groups(self._code)} is, or Esc".strip(), "warn")
        return True


def ask_whose_bag(screen: Frame, part: Part, code: str, into_it: Callable[[], None]) -> None:
    """`into_it` packs the part under the bar, once that one is meant."""

    def picked(number: int) -> None:
        if number:
            into_it()
        else:
            screen.answer("nothing was packed: Enter says the line, then scan the bag again", "warn")

    screen.ask(WhoseBagScreen(part, code), picked)


def _tell_of_stranger(screen: Frame, code: str) -> None:
    """Another bench of the shop may have printed it, or another shop: only a person knows."""
    bench = bag_code(code)[1:3]
    if screen.bench.answered.manner == "kept" and bench not in screen.desk.heads():
        doubt = f"Printed at bench {bench}, unknown here: another shop's? Then use a new label"
        screen.answer(f"{screen.bench.answered.words}. {doubt}", "warn")


def _take_bag(screen: Frame, part: Part | None, bag: Bag) -> None:
    note_seen(screen, bag.code)
    on = f", shelf {bag.shelf}" if bag.shelf else "; scan a shelf to say where it goes"
    more = f"; F4 puts {part.name} in" if part and part.removed and not _bags_of(screen, part) else ""
    screen.answer(f"bag {two_groups(bag.code)} holds {holds(screen, bag)}{on}{more}", "fit")


def note_seen(screen: Frame, code: str) -> None:
    """A bag of this job was scanned: its label is on it, and it is in hand for the shelf that is scanned next."""
    bag = bags(screen.job).get(bag_code(code))
    if bag is None:
        return
    screen.bench.bag = screen.job.id, bag.code
    if bag.seen is None:
        screen.desk.say(said.LabelSeen(code=bag.code, scanned=True))
    screen.bench.sending.seen(bag.code)


def shelf_scanned(screen: Frame, code: str) -> None:
    """The bag scanned last is on this shelf now. A shelf label without a name is given one first."""
    shelf = next((s.shelf for s in screen.desk.shop().shelves.values() if s.label and bag_code(s.label) == code), "")
    if shelf:
        _shelve(screen, shelf)
        return

    def named(name: str) -> None:
        if screen.say(said.ShelfAdded(shelf=name, label=code)):
            _shelve(screen, name)

    question = f"A shelf label nobody has named yet, {two_groups(code)}.\n\nWhat is this shelf called?"
    screen.ask(PromptScreen("NEW SHELF", question), named)


def _shelve(screen: Frame, shelf: str) -> None:
    job, bag = screen.bench.bag
    if bag:
        shelve(screen, bag, shelf, job)
        screen.bench.bag = "", ""
        return
    here = [bag for bag in bags(screen.job).values() if bag.shelf == shelf] if screen.desk.open_job else []
    every = parts(screen.job)
    names = [every[p].name for bag in here for p in bag.packed.fact.parts if p in every]
    told = f"of this job: {', '.join(names)}" if names else "scan a bag first, then its shelf"
    screen.answer(f"shelf {shelf}: {told}", "fit" if names else "warn")


def shelve(screen: Frame, bag: str, shelf: str, job: str | None = None) -> None:
    """Say where a bag waits."""
    screen.desk.say(said.BagShelved(bag=bag, shelf=shelf), job)
    screen.answer(f"kept: bag {two_groups(bag)} on shelf {shelf}", "kept")
    screen.refresh_all()


def label_of_shop(screen: Frame, fact: said.PersonAdded | said.WrenchAdded | said.ShelfAdded) -> None:
    """Give a person, wrench or shelf a code, as last said of it, and print it; one that has a code gets a copy."""
    from reassembly.record.printing import badge_of, with_code

    shop = screen.desk.shop()
    match fact:
        case said.PersonAdded():
            fact = shop.people.get(fact.person, fact)
        case said.WrenchAdded():
            fact = found.added if (found := shop.wrench(fact.wrench)) else fact
        case said.ShelfAdded():
            fact = shop.shelves.get(fact.shelf, fact)
    now = with_code(screen.desk, fact)
    label = badge_of(now)
    if label is None:
        screen.answer("its letters are no code of ours: say it again without them, then l gives it one", "warn")
        return
    if now is not fact and screen.say(now) is None:
        return
    printer, told = screen.bench.sending.press.settings.printer, f"{label.heading} {label.name} is"
    if printer:
        send(screen, label, screen.bench.sending.press.next_copy(label.code))
        screen.answer(f"kept: {told} {two_groups(label.code)}; its label goes to {printer}", "kept")
    else:
        sheet = "reassembly cards --badges prints a sheet"
        screen.answer(f"kept: {told} {two_groups(label.code)}. Write it on, or {sheet}", "kept")
