//! `endleaf forget PLAN`: what was learned of a plan's views is thrown away. Confirmed labels stand.

use anyhow::Error;
use clap::Args;
use filing::store::Store;

use super::{Exit, print};
use crate::plans;

#[derive(Args)]
pub(super) struct ForgetArgs {
    /// The plan whose views are forgotten: its name, or its file
    plan: String,
}

pub(super) fn run(args: &ForgetArgs) -> anyhow::Result<Exit> {
    let home = Store::default_home()?;
    let store = Store::open(&home)?;
    let plan = plans::find(&plans::shelf(&home), &args.plan).map_err(Error::msg)?;
    store.forget(&plan)?;
    print::result(&format!(
        "Forgotten what the views of {} look like; every confirmed label stands: {}\n",
        plan.name,
        store.learned_path(&plan).display()
    ));
    Ok(Exit::Done)
}
