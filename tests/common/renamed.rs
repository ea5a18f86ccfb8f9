//! A journal under another id, for benches that want many.

use sottile::inside::{append_crc, relink, verify_crc};

/// The same story under another id: its first line changed, and every line hung on to the one before.
pub fn renamed(lines: &str, from: &str, id: &str) -> String {
    let (from, id) = (format!("\"id\":\"{from}\""), format!("\"id\":\"{id}\""));
    rewritten(lines, &|at, body| if at == 0 { body.replacen(&from, &id, 1) } else { body })
}

/// The same story with each line changed, given its place, and hung on to the one before.
pub fn rewritten(lines: &str, change: &dyn Fn(usize, String) -> String) -> String {
    let mut prev = None;
    let mut out = Vec::new();
    for (at, line) in lines.lines().enumerate() {
        let (body, _) = verify_crc(line.as_bytes()).unwrap();
        let line = append_crc(change(at, String::from_utf8(body.to_vec()).unwrap()).into_bytes());
        let line = prev.map_or_else(|| line.clone(), |prev| relink(&line, prev).unwrap());
        prev = Some(verify_crc(line.trim_ascii_end()).unwrap().1);
        out.extend_from_slice(line.trim_ascii_end());
        out.push(b'\n');
    }
    String::from_utf8(out).unwrap()
}
