//! A candidate made ready to be played: everything that no event changes, in flat tables.

use crate::floor::{Manner, Walks};
use crate::random::Key;
use crate::shop::{
    Choice, GearId, Item, ItemId, ItemKind, PersonId, PlaceId, ProjectId, QueueRule, Shop,
    StationId, Work,
};
use crate::units::{Length, Span};

/// Tables of ways that are not one person's: carrying and pushing.
const TABLES_FOR_ALL: usize = 2;

/// A shop on its walking table, ready to be played any number of times, by any number of threads.
#[derive(Debug)]
pub struct Prepared<'a> {
    pub(super) shop: &'a Shop,
    places: usize,
    /// Tables of all pairs of places, one after the other: carrying, pushing, then one for each speed at which
    /// somebody walks.
    legs: Vec<Leg>,
    /// Where a person's own table begins.
    pace: Vec<usize>,
    /// People who can do the same operations are of one class.
    pub(super) class_of: Vec<usize>,
    pub(super) classes: usize,
    /// Items of all projects, one project after the other.
    pub(super) items: Vec<PreparedItem<'a>>,
    /// The steps of all items, one item after the other, each followed by one without choices: the end of its route.
    steps: Vec<PreparedStep>,
    choices: Vec<PreparedChoice<'a>>,
    /// Where a project's items begin in `items`; one more than there are projects.
    pub(super) first_item: Vec<usize>,
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
    pub(super) is_plain: Vec<bool>,
}

/// The way from one place to another, in one manner at one speed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leg {
    pub distance: Length,
    pub takes: Span,
}

/// Lots of one queue need the same station, people and gear, so if one can start, so can all.
#[derive(Debug, PartialEq)]
pub(super) struct QueueKind {
    pub station: StationId,
    /// Classes of people who can take part.
    pub classes: Vec<usize>,
    pub people: u32,
    pub gear: Vec<(GearId, u32)>,
    pub unmanned: bool,
}

#[derive(Debug)]
pub(super) struct PreparedItem<'a> {
    pub item: &'a Item,
    pub key: Key,
    pub project: ProjectId,
    /// The item within its project.
    pub id: ItemId,
    /// Pieces of one carry by hand.
    pub carry: u32,
    /// The first step of its route among the steps of all items.
    pub first_step: u32,
}

/// Where a step's choices stand among those of all steps.
#[derive(Debug, Clone, Copy)]
struct PreparedStep {
    first: u32,
    end: u32,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct PreparedChoice<'a> {
    pub station: StationId,
    pub work: &'a Work,
    /// Where lots wait that somebody has to fetch or work on.
    pub queue: usize,
    /// Where lots wait that are where they are needed, if the station works alone and nothing is to be fetched.
    pub unmanned_queue: Option<usize>,
    /// Whether anything but the lot is fetched.
    pub fetches: bool,
}

impl<'a> Prepared<'a> {
    pub fn new(shop: &'a Shop, walks: &Walks) -> Prepared<'a> {
        let places = walks.places();
        let pairs = || {
            (0..places * places)
                .map(|i| (PlaceId((i / places) as u32), PlaceId((i % places) as u32)))
        };
        let loaded = shop.handling.loaded_speed;
        // Nobody pushes where there are no carts; the table is there so that the others keep their place.
        let pushing = shop
            .handling
            .carts
            .as_ref()
            .map_or(loaded, |carts| carts.speed);
        let mut speeds = Vec::new();
        let mut skills = Vec::new();
        let mut pace = Vec::new();
        let mut class_of = Vec::new();
        for person in &shop.crew {
            let own = index_or_push(&mut speeds, person.walking_speed);
            pace.push((TABLES_FOR_ALL + own) * places * places);
            let can: Vec<bool> = shop
                .operations
                .ids()
                .map(|operation| person.can_do(operation))
                .collect();
            class_of.push(index_or_push(&mut skills, can));
        }
        let mut legs = Vec::new();
        for speed in [loaded, pushing].into_iter().chain(speeds) {
            legs.extend(pairs().map(|(from, to)| {
                let distance = walks.distance(Manner::Empty, from, to);
                let takes = speed.time_for(distance);
                Leg { distance, takes }
            }));
        }
        let mut prepared = Prepared {
            shop,
            places,
            legs,
            pace,
            class_of,
            classes: skills.len(),
            items: Vec::new(),
            steps: Vec::new(),
            choices: Vec::new(),
            first_item: vec![0],
            queues: Vec::new(),
            manned: vec![Vec::new(); shop.stations.len()],
            unmanned: vec![Vec::new(); shop.stations.len()],
            plain: Vec::new(),
            plain_unmanned: Vec::new(),
            is_plain: Vec::new(),
        };
        for (project, made) in shop.projects.enumerate() {
            for (id, item) in (0..).map(ItemId).zip(&made.items) {
                prepared.items.push(PreparedItem {
                    item,
                    key: Key::of_name(&item.name),
                    project,
                    id,
                    carry: shop.handling.carry(item.mass),
                    first_step: prepared.steps.len() as u32,
                });
                prepared.add_steps(item, &skills);
            }
            prepared.first_item.push(prepared.items.len());
        }
        prepared.plain = (0..shop.stations.len())
            .map(|station| prepared.plain_queue(&prepared.manned[station]))
            .collect();
        prepared.plain_unmanned = (0..shop.stations.len())
            .map(|station| prepared.plain_queue(&prepared.unmanned[station]))
            .collect();
        prepared.is_plain = vec![false; prepared.queues.len()];
        for queue in prepared
            .plain
            .iter()
            .chain(&prepared.plain_unmanned)
            .flatten()
        {
            prepared.is_plain[*queue] = true;
        }
        prepared
    }

    /// The only one of these queues, if it is plain.
    fn plain_queue(&self, queues: &[usize]) -> Option<usize> {
        let [queue] = *queues else {
            return None;
        };
        let kind = &self.queues[queue];
        let anybody = kind.unmanned || self.classes == 1 && kind.classes.len() == 1;
        let is_shared = (0..self.steps.len() as u32).any(|step| {
            let choices = self.choices_of(step);
            let joins = |choice: &PreparedChoice| {
                choice.queue == queue || choice.unmanned_queue == Some(queue)
            };
            choices.len() > 1 && choices.iter().any(joins)
        });
        let plain = anybody && kind.people <= 1 && kind.gear.is_empty() && !is_shared;
        plain.then_some(queue)
    }

    fn add_steps(&mut self, item: &'a Item, skills: &[Vec<bool>]) {
        for step in &item.route {
            let first = self.choices.len() as u32;
            for choice in &step.choices {
                let choice = self.choice(choice, skills);
                self.choices.push(choice);
            }
            let end = self.choices.len() as u32;
            self.steps.push(PreparedStep { first, end });
        }
        let end = self.choices.len() as u32;
        self.steps.push(PreparedStep { first: end, end });
    }

    /// The choices of a step as numbers among those of all steps.
    #[inline]
    pub(super) fn choice_numbers(&self, step: u32) -> std::ops::Range<u32> {
        let PreparedStep { first, end } = self.steps[step as usize];
        first..end
    }

    /// The choices of a step; none at the end of a route.
    #[inline]
    pub(super) fn choices_of(&self, step: u32) -> &[PreparedChoice<'a>] {
        let PreparedStep { first, end } = self.steps[step as usize];
        &self.choices[first as usize..end as usize]
    }

    #[inline]
    pub(super) fn choice_at(&self, choice: u32) -> &PreparedChoice<'a> {
        &self.choices[choice as usize]
    }

    fn choice(&mut self, choice: &'a Choice, skills: &[Vec<bool>]) -> PreparedChoice<'a> {
        let work = &choice.work;
        let here = PlaceId::from(choice.station);
        let fetches = work
            .gear
            .iter()
            .any(|&(gear, _)| self.shop.gear[gear].stored_at.is_some_and(|at| at != here))
            || work.fetch_from.is_some_and(|from| from != here);
        let classes = (0..skills.len())
            .filter(|&class| skills[class][work.operation.index()])
            .collect::<Vec<usize>>();
        let mut queue = |unmanned| {
            let kind = QueueKind {
                station: choice.station,
                classes: classes.clone(),
                people: work.people,
                gear: work.gear.clone(),
                unmanned,
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
        PreparedChoice {
            station: choice.station,
            work,
            queue: queue(false),
            unmanned_queue,
            fetches,
        }
    }

    #[inline]
    fn pair(&self, from: PlaceId, to: PlaceId) -> usize {
        from.index() * self.places + to.index()
    }

    #[inline]
    pub(super) fn distance(&self, from: PlaceId, to: PlaceId) -> Length {
        self.legs[self.pair(from, to)].distance
    }

    #[inline]
    pub(super) fn leg(&self, person: PersonId, manner: Manner, from: PlaceId, to: PlaceId) -> Leg {
        let table = match manner {
            Manner::Empty => self.pace[person.index()],
            Manner::Carrying => 0,
            Manner::Pushing => self.places * self.places,
        };
        self.legs[table + self.pair(from, to)]
    }

    /// Whether so many carries by hand from one place to the other, with the walks back between them, take no time.
    #[inline]
    pub(super) fn carries_take_no_time(&self, carries: u32, from: PlaceId, to: PlaceId) -> bool {
        if from == to {
            return true;
        }
        let handling = &self.shop.handling;
        handling.pick_up.is_zero()
            && handling.put_down.is_zero()
            && self.legs[self.pair(from, to)].takes.is_zero()
            && (carries <= 1 || self.distance(to, from).is_zero())
    }

    /// The value by which the shop's queue rule ranks a lot at a station; the smallest goes first.
    #[inline]
    pub(super) fn queue_value(
        &self,
        step: u32,
        choice: &PreparedChoice,
        pieces: u32,
        ready: i64,
        due: i64,
    ) -> i64 {
        match self.shop.rules.queue {
            QueueRule::Fifo => ready,
            QueueRule::Spt => choice.expected_run(pieces),
            QueueRule::Lpt => -choice.expected_run(pieces),
            QueueRule::Mwkr => -self.work_left(step, pieces),
            QueueRule::Edd => due,
        }
    }

    /// Expected run time from this step to the end of the route in microseconds, each rounded; where several
    /// stations can do a step, the first in the file counts.
    pub(super) fn work_left(&self, step: u32, pieces: u32) -> i64 {
        (step..)
            .map_while(|step| self.choices_of(step).first())
            .map(|choice| choice.expected_run(pieces))
            .sum()
    }

    /// The items that an assembly is made of.
    pub(super) fn inputs(&self, item: usize) -> &'a [crate::shop::ItemId] {
        match &self.items[item].item.kind {
            ItemKind::Assembly { made_of } => made_of,
            ItemKind::Part { .. } => &[],
        }
    }
}

impl PreparedChoice<'_> {
    /// Expected run time at the station in microseconds. Rounded, so that sums of the same duration that were added
    /// up in another order still tie.
    pub(super) fn expected_run(&self, pieces: u32) -> i64 {
        Span::from_seconds(self.work.expected_run(pieces)).micros()
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
