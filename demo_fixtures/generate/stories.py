"""Twelve frames and the twenty screens that they have carried, with what went well and badly."""

from demo_fixtures.generate.life import Life
from demo_fixtures.generate.moments import ago, on
from demo_fixtures.generate.notebook import Notebook
from demo_fixtures.generate.shop import Book


class Stories:
    """Each method tells one frame and returns its screens, oldest first."""

    def __init__(self) -> None:
        self.book, self.notes = Book(), Notebook()

    def life(self, number: int, mesh: str) -> Life:
        return Life(self.book, self.notes, number, mesh)

    def f401(self) -> list[Life]:
        """Two jobs, well kept. One wash was logged on a phone that lay without reception."""
        one = self.life(401, "120-34").fit(on(58, "07:40")).retension(on(57, "08:05"))
        one.stencil(on(56, "09:00"), "strip", "six greys").to_press(on(55, "10:00"), "flatbed")
        one.by("flatbed phone", "Tomas").print(on(55, "11:20"), 210).by(
            "screen room tablet", "Ilka"
        )
        one.reclaim(on(54, "14:00")).check(on(53, "08:00")).retension(on(40, "08:10"))
        one.stencil(on(39, "09:10"), "bands", "grey line").to_press(on(38, "07:30"), "line", 2)
        one.by("line tablet", "Ruth").print(on(38, "11:45"), 620).print(on(37, "15:10"), 610)
        one.by("screen room tablet", "Ilka").reclaim(on(36, "09:30")).rack(on(36, "11:00"), "A1")
        one.check(on(24, "08:00")).retension(on(10, "08:20"))
        one.by("spare phone", "Besnik")
        one.log("washed", {"note": "dusty, wiped down"}, on(9, "16:20"), sent_at=on(1, "07:12"))
        one.by("screen room tablet", "Ilka").check(on(2, "08:30"))
        return [one]

    def f402(self) -> list[Life]:
        one = self.life(402, "77-48").fit(on(96, "07:30")).retension(on(95, "08:00"))
        one.stencil(on(90, "09:00"), "strip", "six greys").reclaim(on(80, "10:00"))
        one.check(on(60, "08:00")).remove(on(52, "13:00"), "worn along side B")
        two = self.life(402, "77-48").fit(on(51, "07:35")).retension(on(50, "08:00"))
        two.stencil(on(41, "08:40"), "bands", "cobalt blue").to_press(on(38, "07:20"), "line", 1)
        two.by("line tablet", "Ruth").print(on(38, "11:40"), 620).print(on(37, "15:05"), 610)
        two.by("screen room tablet", "Ilka").reclaim(on(35, "09:00")).retension(on(6, "08:15"))
        two.stencil(on(4, "08:50"), "herbs", "leaf green").check(on(1, "07:50"), spots=1)
        two.to_press(on(1, "08:30"), "line", 1).by("line tablet", "Ruth")
        first = two.tweak(on(1, "09:15"), {"B3": 8, "B4": 8}, "long_short", -0.3, 0.05)
        two.after(on(1, "09:32"), first, "in_register", -0.05, 0.05).print(on(1, "12:00"), 280)
        two.print(ago(95), 160)
        return [one, two]

    def f403(self) -> list[Life]:
        """Its wedge strips slip: it loses tension faster than the others, whatever is done."""
        one = self.life(403, "120-34").fit(on(45, "08:00"))
        one.sheet.slipping_per_day = 0.22
        one.retension(on(44, "08:10")).check(on(37, "08:00")).retension(on(29, "08:00"))
        one.check(on(22, "08:10")).retension(on(15, "08:00")).check(on(8, "08:00"))
        one.stencil(on(4, "09:40"), "herbs", "ochre").check(on(1, "07:55"))
        one.to_press(on(1, "08:34"), "line", 2).by("line tablet", "Ruth")
        first = one.tweak(on(1, "09:40"), {"D2": 8, "D3": 8, "D4": 8}, "all_one_way", 0.35, 0)
        one.after(on(1, "09:58"), first, "better", 0.2, 0)
        second = one.tweak(on(1, "10:10"), {"D2": 8, "D3": 8}, "all_one_way", 0.2, 0)
        one.log("cause_found", {"tweak": second["id"], "cause": "mesh"}, on(1, "10:20"))
        one.after(on(1, "10:31"), second, "in_register", 0.05, 0).print(on(1, "12:05"), 280)
        one.print(ago(93), 160)
        return [one]

    def f404(self) -> list[Life]:
        """Bolts were turned on press and nobody looked afterwards."""
        one = self.life(404, "77-48").fit(on(88, "07:30")).retension(on(87, "08:00"))
        one.check(on(60, "08:00")).remove(on(35, "10:00"), "torn at the lock of side A")
        two = self.life(404, "120-34").fit(on(34, "07:40")).retension(on(33, "08:00"))
        two.check(on(20, "08:00")).retension(on(7, "08:20"))
        two.stencil(on(4, "10:30"), "herbs", "black line").check(on(1, "08:00"))
        two.to_press(on(1, "08:38"), "line", 3).by("line tablet", "Ruth")
        two.tweak(on(1, "10:45"), {"C5": 8}, "one_corner", 0.1, -0.25)
        two.by("line tablet", "Besnik").tweak(ago(100), {"C5": 8, "C4": 8}, "one_corner", 0.1, -0.2)
        two.print(ago(90), 150)
        return [one, two]

    def f405(self) -> list[Life]:
        """Ready for its job, but nobody has measured it for days."""
        one = self.life(405, "32-70").fit(on(27, "08:00")).retension(on(26, "08:00"))
        one.retension(on(12, "08:30")).stencil(on(11, "09:00"), "herbs", "covercoat")
        one.rack(on(11, "14:00"), "B2")
        return [one]

    def f406(self) -> list[Life]:
        """Burst on press; the torn mesh is still on."""
        one = self.life(406, "77-48").fit(on(90, "07:45")).retension(on(89, "08:00"))
        one.stencil(on(70, "09:00"), "strip", "covercoat").reclaim(on(66, "10:00"))
        one.remove(on(40, "09:00"), "too many pinholes")
        two = self.life(406, "77-48").fit(on(39, "08:00")).retension(on(38, "08:00"))
        two.check(on(20, "08:00")).retension(on(5, "08:00"))
        two.stencil(on(4, "12:00"), "mug", "iron red").to_press(on(2, "08:00"), "flatbed")
        two.by("flatbed phone", "Tomas").print(on(2, "10:40"), 430)
        torn = {"where": "edge", "u": 0.96, "v": 0.4, "impressions": 430, "note": "squeegee nick"}
        two.log("burst", torn, on(2, "10:52"))
        two.facts["ended"] = "burst"
        return [one, two]

    def f407(self) -> list[Life]:
        """Locked in unevenly: in tolerance everywhere, yet one corner far above another."""
        one = self.life(407, "120-34").fit(on(72, "07:40")).retension(on(71, "08:00"))
        one.check(on(50, "08:00")).check(on(30, "08:00"))
        one.facts["ended"] = "replaced"
        two = self.life(407, "77-48").fit(on(9, "07:30"), tolerance_n_per_cm=2.5)
        two.sheet.pattern = [0, 1.9, -1.7, 0.2, 0.1]
        two.retension(on(8, "08:00"), 25.4).check(on(3, "08:00")).rack(on(3, "08:20"), "B4")
        return [one, two]

    def f408(self) -> list[Life]:
        """A check of another frame was logged here, and taken back."""
        one = self.life(408, "120-34").fit(on(20, "07:50")).retension(on(19, "08:00"))
        one.retension(on(6, "08:00"))
        one.check(on(3, "08:40"), spots=1, meter="one", changes={0: 15.5})
        void = {"voids": one.last_check["id"], "reason": "measured T5, scanned T4"}
        one.log("void", void, on(3, "08:46"))
        one.check(on(3, "08:52")).log("coated", {"note": "for the fern tiles"}, on(2, "15:00"))
        one.facts["stencil"] = "coated"
        return [one]

    def f409(self) -> list[Life]:
        """A reading was typed wrong and corrected."""
        one = self.life(409, "120-34").fit(on(82, "08:00")).retension(on(81, "08:00"))
        one.check(on(60, "08:00")).remove(on(22, "09:00"), "mesh old")
        two = self.life(409, "32-70").fit(on(21, "08:00"))
        two.log("target_set", {"target_n_per_cm": 24.5, "tolerance_n_per_cm": 2}, on(21, "16:00"))
        two.target = 24.5
        two.retension(on(20, "08:00"))
        two.retension(on(4, "08:00")).check(on(3, "08:55"), meter="one", changes={2: 42})
        wrong = two.last_check
        spots = [dict(spot) for spot in wrong["payload"]["spots"]]
        spots[2]["along_a_n_per_cm"] = 24
        right = {name: wrong[name] for name in ("frame", "screen", "occurred_at")}
        right |= {"corrects": wrong["id"], "payload": wrong["payload"] | {"spots": spots}}
        two.log("correction", right, on(3, "09:01"))
        two.stencil(on(2, "09:00"), "mug", "covercoat").rack(on(2, "13:30"), "B5")
        return [one, two]

    def f410(self) -> list[Life]:
        """One bolt seized, one broken and replaced; out for repair."""
        one = self.life(410, "120-34").fit(on(75, "08:00")).retension(on(74, "08:00"))
        one.log("bolt_state", {"bolt": "A2", "state": "broken"}, on(40, "10:00"))
        one.log("bolt_state", {"bolt": "A2", "state": "freed"}, on(38, "09:00"))
        measured = [{"bolt": "A1", "stand_out_mm": 14.5}, {"bolt": "A9", "stand_out_mm": 15}]
        one.log("stand_out", {"bolts": measured}, on(38, "09:20"))
        one.check(on(20, "08:00")).log(
            "bolt_state", {"bolt": "B4", "state": "seized"}, on(6, "14:00")
        )
        away = {"to": "repair", "rack": None, "press": None, "station": None}
        one.log("moved", away, on(5, "09:00"))
        return [one]

    def f411(self) -> list[Life]:
        """Stretched too far the day before yesterday, to allow for the first night's loss."""
        one = self.life(411, "77-48").fit(on(95, "08:00")).retension(on(94, "08:00"))
        one.check(on(70, "08:00")).remove(on(50, "10:00"), "cut for a bigger job")
        two = self.life(411, "140-31").fit(on(3, "08:00")).retension(on(2, "08:00"), 22.4)
        two.log("note", {"note": "for the gold; let it settle before coating"}, on(2, "09:50"))
        two.rack(on(2, "10:00"), "C1")
        return [one, two]

    def f412(self) -> list[Life]:
        """Two screens behind it; the third was bought stretched and has not been measured."""
        one = self.life(412, "77-48").fit(on(110, "08:00")).retension(on(109, "08:00"))
        one.remove(on(62, "10:00"), "worn")
        two = self.life(412, "32-70").fit(on(61, "08:00")).retension(on(60, "08:00"))
        two.stencil(on(41, "13:00"), "bands", "covercoat").to_press(on(36, "08:00"), "flatbed")
        two.by("flatbed phone", "Tomas").print(on(36, "12:00"), 1230)
        two.by("screen room tablet", "Ilka").reclaim(on(34, "09:00"))
        two.remove(on(16, "10:00"), "loosened for cleaning")
        three = self.life(412, "120-34").fit(on(14, "11:00"), stretch=False, second_hand=True)
        three.rack(on(14, "11:20"), "C2")
        return [one, two, three]

    def about_all(self) -> None:
        """What is about meters, jobs and screens beside the frames' own stories."""
        self.meters()
        self.ok_sheets()
        self.fittings()

    def ok_sheets(self) -> None:
        """The herb plates were sent back once, then signed; bolts were turned again afterwards."""
        colours = [id for (job, _), id in self.book.colours.items() if job == "herbs"]
        for moment, on_it, signed, note in (
            (on(1, "09:36"), colours[:1], False, "green too strong"),
            (on(1, "10:40"), colours[:3], True, ""),
        ):
            self.notes.write(
                "ok_sheet",
                {
                    "signed": signed,
                    "colours": on_it,
                    "press": self.book.presses["line"],
                    "note": note,
                },
                at=moment,
                phone="line tablet",
                operator=self.book.operators["Ruth"],
                subject={"kind": "job", "id": self.book.jobs["herbs"]},
            )

    def fittings(self) -> None:
        """How the mesh that 411 carries now was put in, step by step."""
        here = {"frame": self.book.frames[411], "face": "squeegee", "near": "A"}
        bow = [{"bolt": f"{side}{end}", "turn_48ths": 288} for side in "AC" for end in (1, 9)]
        for time, step, found in (
            ("07:05", "inspected", {"rock_mm": 0.5}),
            ("07:12", "lock", {"mesh": self.book.meshes["140-31"], "rods": "standard"}),
            ("07:20", "piece", {"piece_a_mm": 1280, "piece_b_mm": 1530, "warp": "y"}),
            ("07:28", "pre_bow", {"bolts": bow}),
            ("07:55", "locked", {"sides": ["A", "C", "B", "D"]}),
        ):
            view = {"face": here["face"], "near": here["near"]}
            self.notes.write(
                "stretch_step",
                {"step": step} | view | found,
                at=on(3, time),
                phone="screen room tablet",
                operator=self.book.operators["Ilka"],
                frame=here["frame"],
                number=411,
            )

    def meters(self) -> None:
        for days_ago, name, zero in (
            (30, "two", 0),
            (16, "one", 0.5),
            (9, "two", 0),
            (2, "two", 0.2),
        ):
            self.notes.write(
                "meter_zeroed",
                {"zero_n_per_cm": zero, "note": ""},
                at=on(days_ago, "07:30"),
                phone="screen room tablet",
                operator=self.book.operators["Ilka"],
                subject={"kind": "meter", "id": self.book.meters[name]},
            )


# frame number → what the office shows for the mesh on it at the moment of loading
CONDITIONS = {
    401: "holding",
    402: "holding",
    403: "low",
    404: "holding",
    405: "unknown",
    406: "holding",
    407: "uneven",
    408: "holding",
    409: "holding",
    410: "unknown",
    411: "high",
    412: "unknown",
}
PLACES = {
    401: "rack A1",
    402: "Four-station line 1",
    403: "Four-station line 2",
    404: "Four-station line 3",
    405: "rack B2",
    406: "Flatbed 1",
    407: "rack B4",
    408: "",
    409: "rack B5",
    410: "repair",
    411: "rack C1",
    412: "rack C2",
}
