//! The fields of a brief as options: one for each row of their table.

use clap::{Arg, ArgMatches, Command, FromArgMatches};

use crate::build::field::{FIELDS, Field, Sort};

/// The fields that were said, by id, in the order of the table.
#[derive(Debug, Clone, Default)]
pub(super) struct Fields(pub Vec<(String, String)>);

impl FromArgMatches for Fields {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let said = FIELDS.iter().filter_map(|field| {
            let text = matches.get_one::<String>(field.id)?;
            Some((field.id.to_owned(), text.clone()))
        });
        Ok(Self(said.collect()))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

impl clap::Args for Fields {
    fn augment_args(command: Command) -> Command {
        FIELDS.iter().fold(command, |command, field| command.arg(option(field)))
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

/// The option of one field; its id does for a long name too.
fn option(field: &Field) -> Arg {
    let mut help = field.help.to_owned();
    if let Sort::Choice(words) = field.sort {
        help += &format!(" [one of: {}]", words.join(", "));
    }
    if let Some(default) = field.default {
        help += &format!(" [without it: {default}]");
    }
    let value_name = match field.sort {
        Sort::Text => "TEXT",
        Sort::Choice(_) => "WORD",
        Sort::Length(..) => "LENGTH",
        Sort::Degrees(..) => "DEGREES",
        Sort::Count(..) | Sort::Number(..) => "NUMBER",
        Sort::Ratio => "WIDTH:LENGTH",
    };
    let is_number = !matches!(field.sort, Sort::Text | Sort::Choice(_));
    let arg = Arg::new(field.id)
        .long(field.option())
        .value_name(value_name)
        .help(help)
        .help_heading("The brief")
        .allow_hyphen_values(is_number);
    let arg = if field.id.contains('_') { arg.alias(field.id) } else { arg };
    if field.id == "width" { arg.conflicts_with("ratio") } else { arg }
}
