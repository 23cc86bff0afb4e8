//! The forms of a brief: a new house, and a brief said anew.

use super::{Form, FormField, FormKind};
use crate::build::accept::{self, Refused};
use crate::build::brief::BriefText;
use crate::build::entry::Wood;
use crate::build::field::{self, FIELDS, Sort};
use crate::build::holds::wood;
use crate::build::house::House;
use crate::build::roofing::Going;
use crate::build::worked::Worked;

impl Form {
    /// Starts a house.
    #[must_use]
    pub fn start(woods: &[Wood], by: &str) -> Self {
        let mut fields = vec![FormField::new("name", "name", "what people will call the house")];
        fields.extend(brief_fields(&BriefText::default(), woods));
        fields.push(FormField::new("by", "by", "who decides").with(by));
        Self::new(FormKind::Start, None, "A new house", fields)
    }

    /// Says the brief anew.
    #[must_use]
    pub fn brief(house: &House, by: &str) -> Self {
        let mut fields: Vec<FormField> = brief_fields(&house.version.said, &house.told.woods).collect();
        fields.push(FormField::new("by", "by", "who decides").with(by));
        Self::new(FormKind::Brief, Some(house.id), format!("The brief of {}", house.name), fields)
    }

    /// The fields of the brief as typed. An empty width or ratio must not put
    /// out the other.
    pub fn brief_said(&self) -> impl Iterator<Item = (String, String)> + '_ {
        self.fields
            .iter()
            .filter(|f| FIELDS.iter().any(|known| known.id == f.id))
            .filter(|f| !(matches!(f.id, "width" | "ratio") && f.text().trim().is_empty()))
            .map(|f| (f.id.to_owned(), f.text().trim().to_owned()))
    }

    /// What of the brief of a house it says anew, field by field.
    #[must_use]
    pub fn said_anew(&self, house: &House) -> Vec<String> {
        let anew = |(id, text): (String, String)| {
            let field = field::by_id(&id)?;
            let before = house.version.said.said(&id).unwrap_or("").trim();
            if before == text {
                return None;
            }
            let [before, now] = [before, text.as_str()].map(|said| {
                Some(said).filter(|said| !said.is_empty()).or(field.default).unwrap_or("nothing")
            });
            Some(format!("{} {before} to {now}", field.says))
        };
        self.brief_said().filter_map(anew).collect()
    }

    /// What the brief as typed works out to; that of a house, over what lies
    /// on its roof.
    ///
    /// # Errors
    /// All that is wrong with it.
    pub fn worked(&self, house: Option<&House>, woods: &[Wood]) -> Result<Worked, Vec<Refused>> {
        let house = house.filter(|_| self.kind == FormKind::Brief);
        let mut said = house.map_or_else(BriefText::default, |house| house.version.said.clone());
        for (id, text) in self.brief_said() {
            said.say(&id, &text);
        }
        let mut worked = accept::worked(&said)?;
        if let Some(house) = house {
            worked = worked.over(&house.worked.slopes, Going::of(house).rows).map_err(|e| vec![e.into()])?;
            worked.spoil = house.worked.spoil;
        }
        worked.know_woods(woods);
        Ok(worked)
    }
}

/// The fields of a brief, filled with what was said.
fn brief_fields<'a>(said: &'a BriefText, woods: &'a [Wood]) -> impl Iterator<Item = FormField> + 'a {
    FIELDS.iter().map(|known| {
        let mut field =
            FormField::new(known.id, known.says, known.help).with(said.said(known.id).unwrap_or(""));
        match known.sort {
            Sort::Choice(words) => field.words = words.iter().map(|w| (*w).to_owned()).collect(),
            _ if known.id == "wood" => field.words = wood::all(woods).into_iter().map(|w| w.name).collect(),
            _ => {}
        }
        field.default = known.default.unwrap_or_default().to_owned();
        field
    })
}
