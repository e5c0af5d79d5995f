//! Mounts the app, nothing else.

fn main() {
    // The same program answers in the page's worker, where there is nothing to draw.
    if cullbook::browser::serve_as_worker() {
        return;
    }
    cullbook::browser::show_page_on_panic();
    let machine = std::rc::Rc::new(cullbook::browser::Runner::default());
    let props = cullbook::ui::AppProps {
        machine: cullbook::ui::OnMachine(machine),
    };
    yew::Renderer::<cullbook::ui::App>::with_props(props).render();
}
