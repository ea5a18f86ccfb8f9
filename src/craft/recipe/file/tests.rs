use super::*;

#[test]
fn show() {
    for (i, text) in [
        "",
        "format = 2\nname = \"A b\"\ntitle = \"  \"\nsuits = []\nsource = 3\ncautions = [\"zinc-with-oill\", 4]\ntytle = 1\n[size]\nglue_g_per_l_water = \"70\"\nsoak = 9\nfaces = \"bth\"\ncoats_per_face = 2.0\nml_per_m2 = nan\nwait_min = -1\ncure_h = 1e400\n[guesso]\n[gesso]\nfillers = [{ name = \"gypsm\", g_per_100_ml_size = 1, ml_per_100_ml_size = 1 }, { name=\"chalk\" }, 7, { name = \"whiting\", g_per_100_ml = 4}]\nwork_c=[50, 40]\ncaution_c = 60\noverheat_c=60\n[coats]\nfront = 0\nback = 99999999999999999999\nfirst = \"diagonal\"\none_day = 1\nready_sign = \"dul\"\nlong_gap_min = 10\n[check]\ncolumns = 25\nrows = 0\n[seal]\nwith = 1979-05-27\n[sand]\ngrit = \"\\u0007\"\n",
        "name = \"a\"\ntitle = = 3\nsuits = [\"oil\"]\n[size\nglue_g_per_l_water = 70\n[gesso]\nglue_g_per_l_water = 70\nfillers = [{ name = \"chalk\", g_per_100_ml_size = 1 }\n[coats]\nfront = 6\nfront = 7\n",
        "name = \"a\ntitle = \"b\"\n",
        "size = 3\ngesso.work_c = [1]\n[[coats]]\nfront = 3\n",
        "foo\nbar = 1\n[size]\nsoak_h = 99999\n",
        "soak_h = \n[size]\nsoak_h = 99999\ncure_h = \nfaces = both\nwait_min = 3O\n",
        "a = '''\u{7}",
    ].iter().enumerate() {
        println!("--- {i}");
        for p in read(text).problems { println!("{}:{} {:?} {:?}\n      {}", p.line, p.column, p.key, p.nearest, p.said); }
    }
    let z = crate::craft::recipe::shipped::all()[0].text;
    for t in [
        z.replacen("\n]\n", "\n", 1),
        z.replacen("{ name = \"gyp", "  name = \"gyp", 1),
        z.replacen("100.0 }", "100.0", 1),
        z.replacen("40.0, 50.0]", "40.0, 50.0", 1),
        z.replacen("blade finish\"", "blade finish", 1),
        z.replacen("[rest]", "rest]", 1),
    ] {
        println!("=====");
        for p in read(&t).problems {
            println!("{}:{} {:?} {:?}\n      {}", p.line, p.column, p.key, p.nearest, p.said);
        }
    }
}
