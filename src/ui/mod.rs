use yew as _;
