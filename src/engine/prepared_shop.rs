//! A shop made ready to be played on any layout: everything that neither an event nor a walk changes, in flat tables.

use std::collections::BTreeMap;
use std::ops::Range;

use super::bitset::BitSet64;
use super::hours::{self, PreparedHours};
use super::offering::is_put_off;
use super::slots::{self, HeldSlot};
use super::wear::WearPlaces;

use crate::random::{Distribution, Key};
use crate::shop::{
    Choice, ChooseNext, GearCount, GearId, Item, ItemId, ItemKind, OperationId, OrderLine, PlaceId,
    ProjectId, QueueRule, SettingId, Shop, StationId, SwitchStation, Work,
};
use crate::units::{Span, Speed};

/// A shop ready to be played, wherever its stations stand.
#[derive(Debug)]
pub struct PreparedShop<'a> {
    pub(super) shop: &'a Shop,
    /// The speeds at which people walk, each once, and which of them is a person's.
    pub(super) speeds: Vec<Speed>,
    pub(super) speed_of: Vec<usize>,
    /// What one carry by hand takes besides the walk.
    pub(super) pick_up: Span,
    pub(super) put_down: Span,
    /// People who can do the same operations are of one class.
    pub(super) class_of: Vec<usize>,
    pub(super) classes: usize,
    /// Items of all projects, one project after the other.
    pub(super) items: Vec<PreparedItem<'a>>,
    /// By order line.
    pub(super) lines: Vec<PreparedLine<'a>>,
    /// The choices of all steps of all items, one after the other.
    pub(super) choices: Vec<PreparedChoice<'a>>,
    /// The number of everything that units are set to.
    set_to: BTreeMap<SetToNumber, u32>,
    pub(super) queues: Vec<QueueKind>,
    /// The queues of each station for lots that somebody has to fetch or work on.
    pub(super) manned: Vec<Vec<usize>>,
    /// The queues of each station for lots that need nobody.
    pub(super) unmanned: Vec<Vec<usize>>,
    /// The queue of a station that has only one for lots that need somebody, where nothing but a person is needed,
    /// anybody will do, and no lot waits elsewhere too: its first lot is what the station offers.
    pub(super) plain: Vec<Option<usize>>,
    /// Likewise for lots that need nobody.
    pub(super) plain_unmanned: Vec<Option<usize>>,
    /// Which queues these are.
    pub(super) is_plain_queue: Vec<bool>,
    /// Whether the shop is ever shut, or anything else interrupts work.
    pub(super) keeps_hours: bool,
    /// Whether any work is begun only where it is not interrupted, or is put off for other work, so that each person has to
    /// be asked again and again.
    pub(super) may_not_fit: bool,
    pub(super) puts_cures_off: bool,
    /// What interrupts it; nothing is kept where all may be interrupted.
    pub(super) hours: PreparedHours,
    /// Whether any station has room for so many finished lots only.
    pub(super) has_little_room: bool,
    /// Whether any station is parked where a layout says so, and rolled out to be used.
    pub(super) rolls: bool,
    /// Whether work is stopped by more than the night, see `plain.rs`.
    pub(super) has_stops: bool,
    /// Where it is counted what stations wear.
    pub(super) wear: WearPlaces,
    /// Whether upkeep may fall due at each station.
    pub(super) has_upkeep: Vec<bool>,
    /// Whether parts are all that is made, not cut from material, each operation is done at one station by one person
    /// or by nobody, anybody can do it, it may be interrupted, and it takes nothing else: no gear, no cart, no cure, no
    /// delivery, nothing spoiled.
    pub(super) is_plain: bool,
    /// Whether sets of stations and of people each fit into one word.
    pub(super) is_small: bool,
    /// Whether stations and people all take what has been ready longest, wherever that is.
    pub(super) oldest_first: bool,
    /// Whether, in a plain shop, the only person takes what has been ready longest and no work does without that
    /// person. Then every station is free whenever something is chosen, so all lots may wait in one line.
    pub(super) in_turn: bool,
}

/// Lots of one queue need the same station, people and gear, so if one can start, so can all; unless they differ, or may
/// not be interrupted.
#[derive(Debug, PartialEq)]
pub(super) struct QueueKind {
    pub station: StationId,
    /// Classes of people who can take part.
    pub classes: Vec<usize>,
    pub people: u32,
    pub gear: Vec<(GearId, GearCount)>,
    /// Whether one lot may begin while another one may not, since larger ones take more gear.
    pub lots_differ: bool,
    /// Whether upkeep may fall due: then lots need somebody that need nobody otherwise.
    pub has_upkeep: bool,
    /// Whether a lot may be in a unit that is free for it alone.
    pub has_little_room: bool,
    /// What must not go on at the same time.
    pub slots: Vec<HeldSlot>,
    pub unmanned: bool,
    /// Whether it does not matter how long work takes, since it may be interrupted or nothing interrupts it.
    pub always_fits: bool,
    /// Whether it is put off for other work, since it is followed by a cure.
    pub is_put_off: bool,
}

#[derive(Debug)]
pub(super) struct PreparedLine<'a> {
    pub order: &'a OrderLine,
    /// Which items the project has, among those of all projects.
    pub items: Range<usize>,
    /// Lots of one order; an assembly is one, and so is material.
    pub lots: u32,
}

#[derive(Debug)]
pub(super) struct PreparedItem<'a> {
    pub item: &'a Item,
    pub key: Key,
    pub project: ProjectId,
    /// The item within its project.
    pub id: ItemId,
    /// Pieces of one carry by hand when its route is over.
    pub carry: u32,
    /// What a new lot waits for.
    pub first: Next,
    /// Where it lies at the release; None for an assembly, and for a part that is cut from material.
    pub lies_at: Option<PlaceId>,
}

/// What a unit can be set to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum SetToNumber {
    Named(SettingId),
    /// An operation on an item, by its place among those of all projects.
    Work(OperationId, usize),
}

/// What a lot waits for.
#[derive(Debug, Clone, Copy)]
pub(super) enum Next {
    /// A step, by the number of its first choice.
    Step(u32),
    Delivery(PlaceId),
    /// Nothing: it is done.
    Nothing,
}

/// One station that can do a step: all that a task there takes.
#[derive(Debug)]
pub(super) struct PreparedChoice<'a> {
    pub station: StationId,
    /// Where one stands for it.
    pub here: PlaceId,
    /// Where lots wait that somebody has to fetch or work on.
    pub queue: usize,
    /// Where lots wait that are where they are needed, if the station works alone and nothing is to be fetched.
    pub unmanned_queue: Option<usize>,
    /// Its own number, and that of the step's last choice and one.
    pub number: u32,
    pub end: u32,
    /// The step's number in the route.
    pub step: u32,
    /// What a unit has to be set to: alike for all steps that need the same.
    pub set_to: u32,
    /// The same as the file names it, if it does.
    pub setting: Option<SettingId>,
    pub after: Next,
    /// Whether anything but the lot is fetched.
    pub fetches: bool,
    pub slots: Vec<HeldSlot>,
    /// Whether the station has room for so many finished lots only.
    pub has_little_room: bool,
    /// Whether the run may stand still: for upkeep, or for what has come out.
    pub has_run_stops: bool,
    /// Whether it does not matter how long work takes, as for lots of its queues.
    pub always_fits: bool,
    /// Whether somebody has to take off what a cure has tied up.
    pub takes_off: bool,
    /// Whether the station has one unit, and nothing done there has to be set up, so that it does not matter what
    /// was done last: then it is free or not, and that is all.
    pub is_simple: bool,
    /// What the run takes, if that is one draw for the lot and nothing else.
    pub one_draw: Option<Distribution>,
    pub work: &'a Work,
    pub project: ProjectId,
    /// The item among those of all projects, and within its project.
    pub item: u32,
    pub id: ItemId,
    /// Pieces of one carry by hand to this step.
    pub carry: u32,
}

impl<'a> PreparedShop<'a> {
    pub fn new(shop: &'a Shop) -> PreparedShop<'a> {
        let (mut speeds, mut speed_of) = (Vec::new(), Vec::new());
        let mut skills = Vec::new();
        let mut class_of = Vec::new();
        for person in &shop.crew {
            speed_of.push(index_or_push(&mut speeds, person.walking_speed));
            let can: Vec<bool> = shop
                .operations
                .ids()
                .map(|operation| person.can_do(operation))
                .collect();
            class_of.push(index_or_push(&mut skills, can));
        }
        let mut prepared = PreparedShop {
            shop,
            speeds,
            speed_of,
            pick_up: shop.handling.pick_up,
            put_down: shop.handling.put_down,
            class_of,
            classes: skills.len(),
            items: Vec::new(),
            lines: Vec::new(),
            choices: Vec::new(),
            set_to: BTreeMap::new(),
            queues: Vec::new(),
            manned: vec![Vec::new(); shop.stations.len()],
            unmanned: vec![Vec::new(); shop.stations.len()],
            plain: Vec::new(),
            plain_unmanned: Vec::new(),
            is_plain_queue: Vec::new(),
            keeps_hours: !shop.calendar.is_always_open(),
            may_not_fit: shop.crew.iter().any(|person| person.hours.is_some()),
            puts_cures_off: false,
            hours: PreparedHours::default(),
            wear: WearPlaces::new(shop),
            has_upkeep: Vec::from_iter(shop.stations.iter().map(|of| !of.upkeep.is_empty())),
            has_little_room: (shop.stations.iter()).any(|station| station.set_down.is_some()),
            rolls: (shop.stations.iter()).any(|station| station.rolling.is_some()),
            has_stops: false,
            is_plain: false,
            is_small: shop.stations.len().max(shop.crew.len()) <= BitSet64::SIZE,
            oldest_first: shop.rules.queue == QueueRule::Fifo
                && shop.rules.choose == ChooseNext::FirstCome
                && shop.rules.switch == SwitchStation::AfterEachLot,
            in_turn: false,
        };
        let mut items_of = Vec::new();
        for (project, made) in shop.projects.enumerate() {
            let first = prepared.items.len();
            for (id, item) in (0..).map(ItemId).zip(&made.items) {
                prepared.add_item(project, id, item, &skills);
            }
            items_of.push(first..prepared.items.len());
        }
        for order in &shop.orders {
            let items = items_of[order.project.index()].clone();
            let lots = prepared.items[items.clone()]
                .iter()
                .map(|item| item.lots(order.together));
            let lots = lots.sum();
            prepared.lines.push(PreparedLine { order, items, lots });
        }
        if prepared.may_not_fit {
            prepared.keeps_hours = true;
            prepared.hours = {
                let choices = prepared.choices.iter();
                PreparedHours::new(shop, choices.map(|choice| (choice.station, choice.work)))
            };
        }
        prepared.find_what_is_plain();
        prepared
    }

    fn add_item(&mut self, project: ProjectId, id: ItemId, item: &'a Item, skills: &[Vec<bool>]) {
        let end_of_route = item.deliver_to.map_or(Next::Nothing, Next::Delivery);
        let first = self.choices.len() as u32;
        let handling = &self.shop.handling;
        for (step, operation) in (0..).zip(&item.route) {
            let end = (self.choices.len() + operation.choices.len()) as u32;
            let carry = handling.carry(item.mass_at(operation));
            let is_last = step as usize + 1 == item.route.len();
            for choice in &operation.choices {
                let mut choice = self.choice(choice, skills);
                choice.end = end;
                choice.step = step;
                choice.setting = operation.setting;
                choice.set_to = self.number_of_setting(operation.setting, choice.work.operation);
                choice.after = if is_last {
                    end_of_route
                } else {
                    Next::Step(end)
                };
                choice.project = project;
                choice.item = self.items.len() as u32;
                choice.id = id;
                choice.carry = carry;
                self.choices.push(choice);
            }
        }
        self.items.push(PreparedItem {
            item,
            key: Key::of_name(&item.name),
            project,
            id,
            carry: handling.carry(item.finished_mass()),
            first: match item.route.is_empty() {
                true => end_of_route,
                false => Next::Step(first),
            },
            lies_at: item.lies_at(),
        });
    }

    /// The number of what a unit is set to for some work on the item that is being added.
    fn number_of_setting(&mut self, named: Option<SettingId>, operation: OperationId) -> u32 {
        let setting = match named {
            Some(named) => SetToNumber::Named(named),
            None => SetToNumber::Work(operation, self.items.len()),
        };
        let next = self.set_to.len() as u32;
        *self.set_to.entry(setting).or_insert(next)
    }

    /// A choice but for its place among the others.
    fn choice(&mut self, choice: &'a Choice, skills: &[Vec<bool>]) -> PreparedChoice<'a> {
        let work = &choice.work;
        let here = choice.place();
        let fetches = work.gear.iter().any(|&(gear, _)| {
            self.shop.gear[gear]
                .stored_at
                .is_some_and(|at| !self.shop.is_at(at, here))
        }) || work
            .fetch_from
            .is_some_and(|from| !self.shop.is_at(from, here));
        let classes = (0..skills.len())
            .filter(|&class| skills[class][work.operation.index()])
            .collect::<Vec<usize>>();
        let slots = slots::of_work(self.shop, choice.station, work);
        let station = &self.shop.stations[choice.station];
        let (has_little_room, has_upkeep) =
            (station.set_down.is_some(), !station.upkeep.is_empty());
        let always_fits = hours::always_fits(self.shop, choice.station, work);
        let is_put_off = is_put_off(self.shop, work);
        self.puts_cures_off |= is_put_off;
        self.may_not_fit |= !always_fits || is_put_off;
        let mut queue = |unmanned| {
            let kind = QueueKind {
                station: choice.station,
                classes: classes.clone(),
                people: work.people,
                gear: work.gear.clone(),
                slots: slots.clone(),
                lots_differ: has_little_room
                    || unmanned && has_upkeep
                    || (work.gear.iter()).any(|(_, count)| count.is_per_piece()),
                has_little_room,
                has_upkeep,
                unmanned,
                always_fits,
                is_put_off,
            };
            if let Some(queue) = self.queues.iter().position(|other| *other == kind) {
                return queue;
            }
            self.queues.push(kind);
            let of_station = if unmanned {
                &mut self.unmanned
            } else {
                &mut self.manned
            };
            of_station[choice.station.index()].push(self.queues.len() - 1);
            self.queues.len() - 1
        };
        let unmanned_queue = (work.people == 0 && !fetches).then(|| queue(true));
        let only_per_lot = work.per_piece.is_none() && work.by_size == 0.0;
        PreparedChoice {
            station: choice.station,
            here,
            queue: queue(false),
            unmanned_queue,
            number: self.choices.len() as u32,
            end: 0,
            step: 0,
            set_to: 0,
            setting: None,
            after: Next::Nothing,
            fetches,
            slots,
            has_little_room,
            has_run_stops: has_upkeep || work.walks_around().is_some(),
            always_fits,
            takes_off: (work.cure.as_ref()).is_some_and(|cure| cure.take_off.is_some()),
            is_simple: false,
            one_draw: work.per_lot.clone().filter(|_| only_per_lot),
            work,
            project: ProjectId(0),
            item: 0,
            id: ItemId(0),
            carry: 1,
        }
    }

    /// The choices of a step from this one on.
    #[inline]
    pub(super) fn choices_from(&self, choice: u32) -> &[PreparedChoice<'a>] {
        let end = self.choices[choice as usize].end;
        &self.choices[choice as usize..end as usize]
    }

    #[inline]
    pub(super) fn choice_at(&self, choice: u32) -> &PreparedChoice<'a> {
        &self.choices[choice as usize]
    }
}

impl<'a> PreparedItem<'a> {
    /// Lots of one order.
    pub fn lots(&self, together: u32) -> u32 {
        self.item.lots(u64::from(self.item.pieces * together)) as u32
    }

    /// The items that an assembly is made of.
    pub fn inputs(&self) -> &'a [ItemId] {
        match &self.item.kind {
            ItemKind::Assembly { made_of } => made_of,
            ItemKind::Material { .. } | ItemKind::Part { .. } => &[],
        }
    }

    /// The parts that material becomes.
    pub fn becomes(&self) -> &'a [ItemId] {
        match &self.item.kind {
            ItemKind::Material { becomes, .. } => becomes,
            ItemKind::Part { .. } | ItemKind::Assembly { .. } => &[],
        }
    }
}

fn index_or_push<T: PartialEq>(list: &mut Vec<T>, item: T) -> usize {
    match list.iter().position(|other| *other == item) {
        Some(index) => index,
        None => {
            list.push(item);
            list.len() - 1
        }
    }
}
