#include "right_part.hpp"

#include "not_done.hpp"
#include "say.hpp"
#include "serial.hpp"

#include <utility>

namespace slotwitness::witness {

namespace {

/// Empty: no whole answer tells one.
std::string serial_in(const View& view, const Component& slot) {
    const Told told = view.fact(slot, state::Attribute::serial, Trust::whole_answers);
    const auto* text = told.value ? std::get_if<std::string>(&*told.value) : nullptr;
    return text != nullptr ? *text : "";
}

Truth presence_in(const View& view, const Component& slot) {
    return view.doubt(slot) ? Truth::unknown : view.presence(slot, Trust::whole_answers).truth;
}

} // namespace

RightPart::RightPart(const std::string& procedure, WorkPlan plan) : plan_(std::move(plan)) {
    finding_.procedure = procedure;
    finding_.meant = meant();
}

void RightPart::keep(const Baseline& baseline) {
    if (has_baseline_)
        return;
    has_baseline_ = true;
    old_ = serial_in(baseline.view, *plan_.slot);
    is_out_ = was_out_ = presence_in(baseline.view, *plan_.slot) == Truth::no;
    finding_.meant = meant();
}

void RightPart::look(const View& now) {
    const Truth present = presence_in(now, *plan_.slot);
    if (!has_baseline_ || present == Truth::unknown)
        return;
    is_out_ = present == Truth::no;
    was_out_ = was_out_ || is_out_;
    // A part that starts may tell none yet: what was told last stands until the slot is empty.
    const std::string serial = serial_in(now, *plan_.slot);
    if (is_out_ || !serial.empty())
        show(is_out_ ? "" : serial);
}

void RightPart::turn_back() {
    back_ = true;
    was_out_ = is_out_;
    finding_.meant = meant();
    show(finding_.serial);
}

void RightPart::show(std::string serial) {
    const Truth right = serial.empty() ? Truth::unknown : judge(serial);
    // Who answered for one part has not answered for the next.
    if (serial != finding_.serial || right != Truth::no)
        finding_.accepted = false;
    finding_.serial = std::move(serial);
    finding_.right = right;
}

bool RightPart::is_old(std::string_view serial) const {
    return same_serial(old_, serial);
}

Truth RightPart::judge(const std::string& serial) const {
    if (!wants_another()) {
        if (old_.empty())
            return Truth::unknown;
        if (is_old(serial))
            return Truth::yes;
        return back_ && !was_out_ ? Truth::unknown : Truth::no; // what went in comes out first
    }
    if (is_old(serial))
        return was_out_ ? Truth::no : Truth::unknown; // it was not changed yet
    if (same_serial(plan_.spare, serial))
        return Truth::yes;
    if (old_.empty() && (!was_out_ || plan_.spare.empty()))
        return Truth::unknown; // it may be the old one, which told none before
    return plan_.spare.empty() ? Truth::yes : Truth::no;
}

bool RightPart::answer(std::string_view by, std::string_view reason) {
    if (!is_wrong())
        return false;
    finding_.accepted = true;
    finding_.answered_by = by;
    finding_.answer = reason;
    return true;
}

std::string RightPart::meant() const {
    const std::string old = old_.empty() ? "" : " " + old_;
    if (!wants_another())
        return "the part that was there" + old;
    return plan_.spare.empty() ? "another part than" + (old.empty() ? " the old one" : old)
                               : "the spare " + plan_.spare;
}

std::string RightPart::said() const {
    return "The device reports serial " + finding_.serial + " in " + spoken(*plan_.slot) +
           (wants_another() && is_old(finding_.serial) ? ", the old part's" : "") + "; meant is " +
           finding_.meant;
}

state::Problem RightPart::wrong() const {
    return not_done(said(), finding_.meant + " in " + spoken(*plan_.slot),
                    "Answer for the serial with your name and the reason, or begin the way back.");
}

} // namespace slotwitness::witness
