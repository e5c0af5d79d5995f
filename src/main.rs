//! Mounts the app, nothing else.

fn main() {
    cullbook::browser::show_page_on_panic();
    let machine = std::rc::Rc::new(cullbook::browser::Runner::default());
    let props = cullbook::ui::AppProps {
        machine: cullbook::ui::OnMachine(machine),
    };
    yew::Renderer::<cullbook::ui::App>::with_props(props).render();
}
