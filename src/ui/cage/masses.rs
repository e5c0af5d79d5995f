//! What a sealed container weighs: the fields for it, and the weigh check while they are typed.

use yew::prelude::*;

use crate::custody::Container;
use crate::desk::forms::MassFields;
use crate::ui::Shop;
use crate::ui::chart::weigh_check_folded;
use crate::ui::destroy::{calibration, scale_choices};
use crate::ui::kit::{Field, Form, Pick};

/// Gross mass, tare and scale of a container that is named already or still to be chosen.
pub fn mass_fields(
    shop: &Shop,
    form: &Form,
    fields: MassFields,
    container: Option<&Container>,
) -> Html {
    let decimal = Some(AttrValue::from("decimal"));
    let scales = scale_choices(&shop.state());
    html! {
        <>
            <div class="fields">
                <Field form={form.clone()} name={fields.gross} label="Gross mass in grams" hint="If it was weighed, like 12480.5" inputmode={decimal.clone()} />
                <Field form={form.clone()} name={fields.tare} label="Tare in grams" hint="The empty container, if it was weighed" inputmode={decimal} />
                if !scales.is_empty() {
                    <Pick form={form.clone()} name={fields.scale} label="Scale" hint="The one that was read" choices={scales} />
                }
            </div>
            { container.map(|container| weighed(shop, form, fields, container)) }
        </>
    }
}

/// The weigh check, once gross and tare are typed.
fn weighed(shop: &Shop, form: &Form, fields: MassFields, container: &Container) -> Html {
    let (Some(net), scale) = fields.net_and_scale(form.typed()) else {
        return Html::default();
    };
    let (state, today) = (shop.state(), shop.now().local_day());
    let expected = state.expected_mass(container, scale);
    html! { <>{ calibration(&state, scale, today) }{ weigh_check_folded(&expected, Some(net)) }</> }
}
