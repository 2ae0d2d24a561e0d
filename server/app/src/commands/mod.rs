//! The commands of the command line, with one function for each.

mod healthy;
pub mod plan;
mod print;
mod serve;

use crate::commands::serve::Class;
use crate::host::house;
use crate::settings::{PlanCommand, Settings, What};

/// Runs the command.
///
/// # Errors
/// A sentence for the person who typed the command.
pub fn run(settings: Settings) -> anyhow::Result<()> {
    let house = house::house(settings.library.as_deref(), &settings.regions)?;
    for sentence in &house.refused {
        eprintln!("samebreath: left out: {sentence}");
    }
    match settings.command {
        What::Healthy { listen } => healthy::ask(listen),
        What::Plan { command: PlanCommand::Check { file, json } } => plan::print_check(&file, &house, json),
        What::Plan { command: PlanCommand::Tidy { file } } => plan::print_tidy(&file, &house),
        What::Demo { cast, host } => {
            let class = Class::Rehearsal { plan: house::demo_plan(&house.library)?, cast };
            serve::serve(&host, house, class)
        }
        What::Rehearse { plan, cast, host } => {
            let class = Class::Rehearsal { plan: plan::read_plan(&plan, &house.library)?, cast };
            serve::serve(&host, house, class)
        }
        What::Serve { plan, new, host } => {
            let plan = plan.map(|plan| plan::read_plan(&plan, &house.library)).transpose()?;
            serve::serve(&host, house, Class::Real { plan, new })
        }
    }
}
