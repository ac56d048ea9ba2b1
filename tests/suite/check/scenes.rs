//! Small shops on small floors, made by hand. All lengths are in feet.

use shopstride::floor::check::{Missing, RULES, Rule, Scene as Judged, WalkedLeg, check, judge};
use shopstride::floor::{
    Door, Finding, FindingLevel, Going, HeightRange, Limits, Panel, Placement, Plan, Point,
    Polygon, Room, Side, Site, Stock, Thing,
};
use shopstride::report::check::{Told, Writer, told};
use shopstride::shop::{
    Arrivals, Calendar, Choice, Item, ItemKind, MaterialHandling, OnIn, OperationId, OrderLine,
    PartSource, Person, PlaceId, PriceList, Project, ProjectId, Rules, Shop, Size, Station,
    StationId, Step, Table, Work,
};
use shopstride::units::{Mass, Span, Speed};

pub const FT: f64 = 0.3048;
pub const IN: f64 = 0.0254;

pub fn ft(x: f64, y: f64) -> Point {
    Point::new(x * FT, y * FT)
}

/// Length, width and thickness in inches.
pub fn inches(length: f64, width: f64, thickness: f64) -> Size {
    Size {
        length: length * IN,
        width: width * IN,
        thickness: thickness * IN,
    }
}

pub fn outline(corners: &[(f64, f64)]) -> Polygon {
    let corners: Vec<Point> = corners.iter().map(|&(x, y)| ft(x, y)).collect();
    Polygon::new(&corners).expect("an outline")
}

pub fn person(name: &str) -> Person {
    Person {
        name: name.to_string(),
        group: name.to_string(),
        can: None,
        walking_speed: Speed::from_metres_per_second(1.25),
        starts_at: PlaceId(0),
        elbow: None,
        protection: None,
        hours: None,
    }
}

/// A shop on a floor, and all that a check looks at.
#[derive(Debug, Clone)]
pub struct Scene {
    pub shop: Shop,
    pub plan: Plan,
    pub walked: Vec<WalkedLeg>,
    pub limits: Limits,
}

impl Scene {
    /// An empty room from the origin, one person, one operation.
    pub fn room(width: f64, depth: f64) -> Scene {
        let room = Room {
            outline: outline(&[(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)]),
            ceiling: None,
            doors: Vec::new(),
            blocked: Vec::new(),
            parks: Vec::new(),
            panels: Vec::new(),
            ways: Vec::new(),
            kept: Vec::new(),
            stock: Vec::new(),
        };
        let shop = Shop {
            stations: Table::new(),
            operations: [String::from("work")].into_iter().collect(),
            settings: Table::new(),
            gear: Table::new(),
            crew: [person("maker")].into_iter().collect(),
            handling: MaterialHandling {
                loaded_speed: Speed::from_metres_per_second(1.0),
                pick_up: Span::ZERO,
                put_down: Span::ZERO,
                carry_mass: Mass::from_kilograms(15.0),
                carry_pieces: None,
                carts: None,
            },
            projects: [Project {
                name: String::from("project"),
                items: Vec::new(),
            }]
            .into_iter()
            .collect(),
            orders: [OrderLine {
                project: ProjectId(0),
                arrivals: Arrivals::AtStart { count: 1 },
                together: 1,
                due: None,
                by: None,
            }]
            .into_iter()
            .collect(),
            calendar: Calendar::AlwaysOpen,
            quiet: None,
            no_blades: None,
            heat: None,
            not_together: Vec::new(),
            shared_floor: Vec::new(),
            prices: PriceList::default(),
            rules: Rules::default(),
            doors: Vec::new(),
            work_stands: Vec::new(),
        };
        Scene {
            shop,
            plan: Plan {
                room: Some(room),
                placements: Table::new(),
                work_stands: Vec::new(),
                rolled_out: Vec::new(),
                going: Going::Around,
                body_width: 0.5,
                cart_width: 0.5,
                head_room: 2.0,
            },
            walked: Vec::new(),
            limits: Limits::default(),
        }
    }

    pub fn the_room(&mut self) -> &mut Room {
        self.plan.room.as_mut().expect("the scene has a room")
    }

    /// A station with its centre and size in feet, and where one stands before it is turned.
    pub fn station(&mut self, name: &str, at: (f64, f64), size: (f64, f64)) -> &mut Placement {
        let size = (size.0 * FT, size.1 * FT);
        let station = self.shop.stations.push(Station {
            name: name.to_string(),
            kind: None,
            count: 1,
            is_size_usual: false,
            upkeep: Vec::new(),
            set_down: None,
            rolling: None,
            setup_from: Vec::new(),
            is_worked_at: true,
            is_loud: false,
            has_blade: false,
            widest: None,
            asked: Default::default(),
        });
        let placed = self
            .plan
            .placements
            .push(Some(Placement::new(ft(at.0, at.1), 0.0, size)));
        assert_eq!(station, placed);
        self.plan.placements[placed].as_mut().expect("just placed")
    }

    /// Whoever feeds it stands in line with the work, a foot before the body.
    pub fn feed(
        &mut self,
        name: &str,
        at: (f64, f64),
        size: (f64, f64),
        side: Side,
    ) -> &mut Placement {
        let placement = self.station(name, at, size);
        placement.feed = Some(side);
        let half = match side {
            Side::PlusX | Side::MinusX => placement.size.0 / 2.0,
            Side::PlusY | Side::MinusY => placement.size.1 / 2.0,
        };
        placement.stand = side.direction() * -(half + FT);
        placement
    }

    /// A part of which every piece comes to a station in this size.
    pub fn piece(&mut self, name: &str, station: u32, size: Size) -> &mut Item {
        let work = Work {
            operation: OperationId(0),
            setup: None,
            per_piece: None,
            per_lot: None,
            by_size: 0.0,
            teardown: None,
            people: 1,
            lifts_together: false,
            cure: None,
            gear: Vec::new(),
            fetch_from: None,
            stands_at: None,
            catches: None,
            pausable: true,
            after_hours: false,
            open_time: None,
            tacky: None,
            dusty: false,
            spoils: 0.0,
            along_width: false,
            length_cut: shopstride::units::Length::ZERO,
            chips: shopstride::units::Chips::NONE,
            is_crosscut: false,
            on_in: OnIn::RUN,
            bite: None,
        };
        let step = Step {
            choices: vec![Choice {
                station: StationId(station),
                work,
                sources: Default::default(),
            }],
            piece: Some(size),
            setting: None,
        };
        let item = Item {
            name: name.to_string(),
            kind: ItemKind::Part {
                comes_from: PartSource::LiesAt(PlaceId(station)),
            },
            pieces: 1,
            batch: None,
            route: vec![step],
            deliver_to: None,
            mass: None,
            rough: None,
            finished: None,
            goes_into: None,
        };
        let items = &mut self.shop.projects[shopstride::shop::ProjectId(0)].items;
        items.push(item);
        items.last_mut().expect("just added")
    }

    /// A door between two points of the outline, in feet.
    pub fn door(&mut self, name: &str, from: (f64, f64), to: (f64, f64)) -> &mut Door {
        let doors = &mut self.the_room().doors;
        doors.push(Door {
            name: name.to_string(),
            between: (ft(from.0, from.1), ft(to.0, to.1)),
            height: None,
            wall: 0.5 * FT,
            corridor: None,
            swings_in: false,
            hangs_at_first: false,
            overhead: false,
        });
        doors.last_mut().expect("just added")
    }

    pub fn thing(&mut self, name: &str, corners: &[(f64, f64)]) {
        let outline = outline(corners);
        let name = name.to_string();
        self.the_room().blocked.push(Thing {
            name,
            outline,
            heights: HeightRange::default(),
        });
    }

    pub fn panel(&mut self, name: &str, at: (f64, f64), faces: Point) {
        let panel = Panel {
            name: name.to_string(),
            at: ft(at.0, at.1),
            faces,
            width: 14.0 * IN,
        };
        self.the_room().panels.push(panel);
    }

    pub fn stock(&mut self, name: &str, size: Size, kilograms: Option<f64>) {
        let mass = kilograms.map(Mass::from_kilograms);
        let name = name.to_string();
        self.the_room().stock.push(Stock { name, size, mass });
    }

    pub fn findings(&self) -> Vec<Told> {
        let findings = check(&self.shop, &self.plan, &self.walked, &self.limits);
        let all = self.judged_alike(RULES, &findings);
        let judged = judge(&self.shop, &self.plan, &self.walked, &self.limits);
        assert_eq!(judged, all);
        told(&self.shop, self.plan.room.as_ref(), &findings)
    }

    /// Findings of one rule, where no other one is asked.
    pub fn by_one_rule(&self, rule: &str) -> Vec<Told> {
        let row = RULES.iter().find(|row| row.id.name() == rule);
        let row = row.expect("there is such a rule");
        let site = Site::new(&self.shop, &self.plan, &self.limits);
        let findings = (row.tell)(&Judged::new(&site, &self.plan, &self.walked));
        self.judged_alike(std::slice::from_ref(row), &findings);
        told(&self.shop, self.plan.room.as_ref(), &findings)
    }

    /// That rules judge as they tell: the same faults and warnings, and as much missing unless that takes a search to
    /// measure, for which at least as much counts. Gives what all of them judge to be missing.
    fn judged_alike(&self, rules: &[Rule], findings: &[Finding]) -> Missing {
        let site = Site::new(&self.shop, &self.plan, &self.limits);
        let scene = Judged::new(&site, &self.plan, &self.walked);
        let mut all = Missing::default();
        for rule in rules {
            let own = findings.iter().filter(|finding| finding.rule == rule.id);
            let (judged, told) = ((rule.judge)(&scene), Missing::of(own));
            let name = rule.id.name();
            let counts = |missing: Missing| (missing.faults, missing.warnings);
            assert_eq!(counts(judged), counts(told), "{name}");
            let searched = ["reachable", "way out", "feed", "reach"].contains(&name);
            let more =
                |judged: f64, told: f64| judged >= told - 1e-9 && (searched || judged <= told);
            assert!(
                more(judged.fault_m, told.fault_m),
                "{name}: {judged:?} {told:?}"
            );
            assert!(
                more(judged.warning_m, told.warning_m),
                "{name}: {judged:?} {told:?}"
            );
            all += judged;
        }
        all
    }

    /// Findings of one rule.
    pub fn of(&self, rule: &str) -> Vec<Told> {
        let findings = self.findings().into_iter();
        findings
            .filter(|finding| finding.rule.name() == rule)
            .collect()
    }

    /// The one finding of a rule.
    #[track_caller]
    pub fn only(&self, rule: &str) -> Told {
        let findings = self.of(rule);
        assert_eq!(findings.len(), 1, "{findings:#?}");
        findings.into_iter().next().expect("one")
    }

    /// That a rule finds one fault or warning with so much missing, in inches.
    #[track_caller]
    pub fn lacks(&self, rule: &str, level: FindingLevel, inches: f64) -> Told {
        let finding = self.only(rule);
        assert_eq!(finding.level, level, "{}", said(&finding));
        let missing = finding.missing.expect("something is missing") / IN;
        assert!(
            (missing - inches).abs() < 1e-3,
            "{missing}: {}",
            said(&finding)
        );
        assert!(!helped(&finding).is_empty());
        finding
    }
}

const IN_FEET: Writer<'static> = Writer {
    length: &|metres| format!("{:.1} ft", metres / FT),
    at_most: &|metres| format!("{:.1} ft", metres / FT),
    at_least: &|metres| format!("{:.1} ft", metres / FT),
    fine: &|metres| format!("{:.4} in", metres / IN),
    mass: &|kilograms| format!("{kilograms:.1} kg"),
};

pub fn said(finding: &Told) -> String {
    finding.sentence(IN_FEET)
}

pub fn briefly(finding: &Told) -> String {
    finding.briefly(IN_FEET)
}

pub fn helped(finding: &Told) -> String {
    finding.advice(IN_FEET).unwrap_or_default()
}
