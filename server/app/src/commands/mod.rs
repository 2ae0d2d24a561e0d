//! The commands of the command line, with one function for each.

mod account;
mod audit;
mod backup;
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
    let Settings { command, library, regions } = settings;
    let house = || {
        let house = house::house(library.as_deref(), &regions)?;
        for sentence in &house.refused {
            eprintln!("samebreath: left out: {sentence}");
        }
        anyhow::Ok(house)
    };
    match command {
        What::Healthy { listen } => healthy::ask(listen),
        What::Backup { to, data, recipients, keep, thin } => {
            let stays = keep.map(backup::Stays::Newest).or_else(|| thin.map(backup::Stays::Thinned));
            backup::write(&data, &to, &recipients, stays)
        }
        What::Restore { file, data, key, check } => backup::restore(&file, &data, key.as_deref(), check),
        What::Account { data, public_url, listen, command } => {
            account::link(&data, public_url.as_deref(), listen, command)
        }
        What::Audit { data, command } => audit::run(&data, command),
        What::Plan { command: PlanCommand::Check { file, json } } => {
            plan::print_check(&file, &house()?, json)
        }
        What::Plan { command: PlanCommand::Tidy { file } } => plan::print_tidy(&file, &house()?),
        What::Demo { cast, host } => {
            let house = house()?;
            let class = Class::Rehearsal { plan: house::demo_plan(&house.library)?, cast, furnished: true };
            serve::serve(&host, house, class)
        }
        What::Rehearse { plan, cast, host } => {
            let house = house()?;
            let class =
                Class::Rehearsal { plan: plan::read_plan(&plan, &house.library)?, cast, furnished: false };
            serve::serve(&host, house, class)
        }
        What::Serve { plan, new, host } => {
            let house = house()?;
            let plan = plan.map(|plan| plan::read_plan(&plan, &house.library)).transpose()?;
            serve::serve(&host, house, Class::Real { plan, new })
        }
    }
}
