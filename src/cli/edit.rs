//! `shopstride edit`: stations moved about in a browser.

use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::Path;
use std::sync::Arc;
use std::thread;

use super::edit_begin::begin;
use super::edit_options::EditOptions;
use super::edit_search::search;
use super::places::Places;
use super::scenario::{candidate, load_source, source, stands_still};
use super::{Refusal, memory, output};
use crate::editor::{
    Beginning, Desk, EditSession, EditedFile, Guard, READ_WITHIN, Served, Sitting, serve,
};
use crate::scenario;

pub fn edit(options: &EditOptions) -> Result<(), Refusal> {
    let asked = options.scenario.as_deref();
    if options.out.as_deref() == Some(Path::new("-")) {
        return Err(Refusal::because("--out: name a file, such as shop.yaml"));
    }
    if let Some(out) = options.out.as_deref().filter(|out| out.exists()) {
        return Err(Refusal::with_hint(
            format!("--out {}: there is such a file", out.display()),
            format!(
                "edit it with `shopstride edit {}`, or name a new file",
                out.display()
            ),
        ));
    }
    Places::new("edit", asked)
        .file("--out", &options.out)
        .check()?;
    let desk = Arc::new(Desk::default());
    let new_file = asked.filter(|file| options.out.is_none() && is_new(file));
    let name = asked.map_or_else(
        || "the scenario".to_owned(),
        |file| file.display().to_string(),
    );
    let searching =
        |session: EditSession| session.searching(search(name.clone(), Arc::clone(&desk)));
    let mut sitting = match new_file {
        Some(file) => Sitting::Beginning(Beginning {
            file: EditedFile::new(&file.display().to_string(), Some(file.to_owned())),
            search: begin(),
        }),
        None => Sitting::Editing(Box::new(searching(session(options)?))),
    };
    let page = sitting.page().map_err(Refusal::because)?;
    let listener = listen(options.port)?;
    let guard = Guard::new(listener.local_addr()?)
        .map_err(|error| Refusal::because(format!("the system has no random numbers: {error}")))?;
    let address = guard.address();
    let served = Served {
        page,
        guard,
        desk: Arc::clone(&desk),
        read_within: READ_WITHIN,
    };
    let how_long = options.how_long;
    let server = thread::spawn(move || serve(listener, served, how_long));
    output::print(&format!(
        "Open in a browser on this machine: {address}\nNobody else can: the address has a token. Ctrl-C ends it.\n"
    ))?;
    while let Some(job) = desk.next() {
        let answer = sitting.answer(job.ask.clone(), &|| desk.is_newest(), &searching);
        job.reply(answer);
    }
    match server.join() {
        Ok(ended) => Ok(ended?),
        Err(_) => Err(Refusal::because("the server has ended by itself")),
    }
}

/// Whether there is no such file, in a folder that is there.
fn is_new(file: &Path) -> bool {
    let folder = file.parent().filter(|folder| *folder != Path::new(""));
    file != Path::new("-") && !file.exists() && folder.is_none_or(Path::is_dir)
}

/// A session on what is there.
fn session(options: &EditOptions) -> Result<EditSession, Refusal> {
    let asked = options.scenario.as_deref();
    let read = source(asked)?;
    // What is wrong is told as by every other command, before anything is served.
    let study = load_source(&read, options.quiet, scenario::load_to_check)?;
    let edited = candidate(&study, options.layout.as_deref(), "--layout")?;
    stands_still(&study.candidates[edited], "edit")?;
    memory::check(&study, 1)?;
    let file = match (&options.out, asked.filter(|file| *file != Path::new("-"))) {
        (Some(out), _) => EditedFile::new(&out.display().to_string(), Some(out.clone())),
        (None, Some(file)) => EditedFile::read_from(&read.name, file.to_owned(), &read.text),
        (None, None) => EditedFile::new(&read.name, None),
    };
    EditSession::new(file, &read.text, options.layout.as_deref())
        .map_err(|why| Refusal::because(format!("{}: {why}", read.name)))
}

/// On this machine alone.
fn listen(port: u16) -> Result<TcpListener, Refusal> {
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    TcpListener::bind(address).map_err(|error| {
        Refusal::with_hint(
            format!("--port {port}: {error}"),
            "leave it out, and a free one is taken",
        )
    })
}
