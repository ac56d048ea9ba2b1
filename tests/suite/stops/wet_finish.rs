//! Dust of sanding on finish that is wet, unless the file keeps the two apart.

use crate::support::study;
use shopstride::floor::check;
use shopstride::report::check::told;

/// What `check` says of a shop in which something is sanded at one bench and oiled at another.
fn said(operations: &str, sand: &str, oil: &str) -> Vec<String> {
    let study = study(&format!(
        "title: Dust\nroom: {{size: [6 m, 6 m]}}\n\
         stations:\n  bench: {{size: [2 m, 1 m], does: {{{sand}: {{per lot: 1 min}}}}}}\n  \
         shelf: {{size: [2 m, 50 cm], does: {{{oil}: {{per lot: 1 min}}}}}}\n\
         {operations}\
         projects: {{top: {{pieces: 1, route: [{sand}, {oil}]}}}}\norders: [{{project: top}}]\n\
         layouts: {{here: {{at: {{bench: [3 m, 4 m], shelf: [3 m, 2 m]}}}}}}\n"
    ));
    let candidate = &study.candidates[0];
    let plan = candidate.plan.as_ref().expect("it is placed");
    let findings = check::check(&candidate.shop, plan, &[], &candidate.limits);
    let told = told(&candidate.shop, plan.room.as_ref(), &findings);
    let of_dust = told.iter().filter(|told| told.rule.name() == "wet finish");
    of_dust.map(|told| told.short.clone()).collect()
}

#[test]
fn sanding_beside_wet_finish_is_told_unless_the_file_keeps_them_apart() {
    let dust = ["dust from bench may fall on wet finish at shelf"];
    assert_eq!(said("", "sand", "oil"), dust);
    assert_eq!(said("", "hand sanding", "second coat"), dust);
    assert_eq!(
        said("operations: {oil: {tacky: 2 h}}\n", "sand", "oil"),
        dust
    );
    let apart = "operations: {oil: {tacky: 2 h}, sand: {dusty: true}}\n";
    assert_eq!(said(apart, "sand", "oil"), [""; 0]);
    // What the file calls so is so, whatever it is named.
    assert_eq!(
        said("operations: {brush: {tacky: 2 h}}\n", "sand", "brush"),
        dust
    );
    assert_eq!(
        said("operations: {carve: {dusty: true}}\n", "carve", "oil"),
        dust
    );
    assert_eq!(said("", "sandwich", "glue"), [""; 0]);
}
