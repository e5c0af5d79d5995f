//! The fields of a serial format.

use yew::prelude::*;

use crate::desk::forms::serial::{CHECK_OVERS, CHECK_PLACES, FormatFields, check_systems};

use super::input::{Inputs, choices};

/// Prefix, number, suffix, check character, display groups.
pub fn serial_fields(inputs: &Inputs, fields: &FormatFields) -> Html {
    let systems = check_systems()
        .map(|name| (name.into(), name.into()))
        .collect();
    let checked = !matches!(inputs.form.typed().get(fields.check), "" | "none");
    html! {
        <div class="fields">
            { inputs.code(fields.prefix, "Prefix", "Capitals, figures or *; may be empty") }
            { inputs.number(fields.width, "Digits of the number", "1 to 12, filled with zeros") }
            { inputs.code(fields.suffix, "Suffix", "May be empty; 15 characters in all") }
            { inputs.code(fields.groups, "Display groups", "Like 2 4 3; empty: in one piece") }
            { inputs.pick(fields.check, "Check system", "Of the check character, or none", systems) }
            if checked {
                { inputs.pick(fields.place, "Check character stands", "", choices(&CHECK_PLACES)) }
                { inputs.pick(fields.over, "It guards", "", choices(&CHECK_OVERS)) }
            }
        </div>
    }
}
