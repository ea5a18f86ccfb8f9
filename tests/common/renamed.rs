//! A journal under another id, for benches that want many.

use sottile::inside::{append_crc, relink, verify_crc};

/// The same story under another id: its first line changed, and every line hung on to the one before.
pub fn renamed(lines: &str, from: &str, id: &str) -> String {
    let mut prev = None;
    let mut out = Vec::new();
    for line in lines.lines() {
        let line = match prev {
            None => {
                let (body, _) = verify_crc(line.as_bytes()).unwrap();
                let body = String::from_utf8(body.to_vec()).unwrap();
                append_crc(body.replacen(&format!("\"id\":\"{from}\""), &format!("\"id\":\"{id}\""), 1).into_bytes())
            }
            Some(prev) => relink(line.as_bytes(), prev).unwrap(),
        };
        prev = Some(verify_crc(line.trim_ascii_end()).unwrap().1);
        out.extend_from_slice(line.trim_ascii_end());
        out.push(b'\n');
    }
    String::from_utf8(out).unwrap()
}
