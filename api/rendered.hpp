#pragma once

#include "events.hpp"
#include "preconditions.hpp"

#include <slotwitness/desk/shown.hpp>

#include <memory>
#include <string>

namespace slotwitness::api {

/// What goes out of a gate or a procedure. It is made once a view, and stays with it.
struct Rendered {
    /// Weak: two bodies of one revision may differ in what moves with each look. After a restart
    /// the journal's count may come again to a number that unrecorded bad news had: that is marked.
    EntityTag tag;
    std::string body; ///< JSON
    std::string line; ///< for a person, with a line feed
    Event event;
};

template <class View>
[[nodiscard]] EntityTag revision_tag(const View& view) {
    return {std::to_string(view.revision) + (view.unrecorded ? "u" : ""), true};
}

/// As `newest_event` gives it; `rendered` is what was made of the view.
template <class View>
[[nodiscard]] SharedEvent event_of(const desk::SharedView<View>& view, const Rendered& rendered) {
    return {view, &rendered.event};
}

} // namespace slotwitness::api
