//! Drawing tags, and reading them from pictures.

use super::{Ended, Refusal, args, open};
use crate::{
    app::{Found, Register},
    camera::{FolderOfImages, FrameSource},
    report::{counted, plain},
    sys,
    tag::{Luma, TagId, draw, payload::payload, read},
};
use std::io::Write;

pub fn draw(task: &args::Tags, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let register = open(&task.store)?.register()?;
    let mut table = String::from("file\ttext\n");
    for pump in &register.plant().pumps {
        let text = payload(register.host(), TagId::new(pump.tag));
        let write = |ending: &str, bytes: &[u8]| {
            let path = task.out.join(format!("{}.{ending}", pump.id));
            sys::write_whole(&path, |file| file.write_all(bytes))
                .map_err(|error| Refusal::file(&path, error))
        };
        write("png", &draw::png(&text, task.module_px)?)?;
        if let Some(short_id) = register.short_id(pump) {
            let caption = format!("{} {}", pump.id, pump.name);
            write("svg", draw::svg(&text, short_id, &caption)?.as_bytes())?;
        }
        table.push_str(&format!("{}.png\t{text}\n", pump.id));
    }
    let path = task.out.join("tags.tsv");
    sys::write_whole(&path, |file| file.write_all(table.as_bytes()))
        .map_err(|error| Refusal::file(&path, error))?;
    writeln!(
        out,
        "{} drawn into {}; {} lists their texts",
        counted(register.plant().pumps.len() as u64, "tag", "tags"),
        task.out.display(),
        path.display()
    )?;
    Ok(Ended::Well)
}

pub fn read(task: &args::Read, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let register = task
        .store
        .as_ref()
        .map(|store| open(store)?.register().map_err(Refusal::from))
        .transpose()?;
    let mut ended = Ended::Well;
    for path in &task.pictures {
        let mut source = FolderOfImages::open(path)?;
        loop {
            match source.next_frame() {
                Ok(None) => break,
                Ok(Some(frame)) => {
                    let (words, well) = describe(&frame.luma, register.as_deref());
                    writeln!(out, "{}\t{}", frame.origin, plain(&words))?;
                    if !well {
                        ended = Ended::WithFaults;
                    }
                }
                Err(error) => {
                    writeln!(out, "{}", plain(&error.to_string()))?;
                    ended = Ended::WithFaults;
                }
            }
        }
    }
    Ok(ended)
}

fn describe(luma: &Luma, register: Option<&Register>) -> (String, bool) {
    if let Some(register) = register {
        let found = register.find_codes(&register.read(luma));
        let well = matches!(found, Found::Pump(_) | Found::ByAdoptedCode(_));
        return (found.to_string(), well);
    }
    let codes = read::thorough(luma, |_| true);
    if codes.is_empty() {
        return (Found::Nothing.to_string(), false);
    }
    let texts: Vec<_> = codes
        .iter()
        .map(|code| code.text.escape_debug().to_string())
        .collect();
    (texts.join("\t"), true)
}
