#include "say.hpp"
#include "state.hpp"

#include <utility>

namespace slotwitness::witness {

/// Who is in charge tells only a whole answer. One that names nobody tells of a moment between two
/// controllers, and changes nothing.
void State::learn_leading(const Answered& answer) {
    if (!answer.ending.whole() || !answer.reading->whole)
        return;
    const View view({heard_from(answer)}, {});
    std::vector<std::string> leading;
    for (const std::string& name : view.listed(state::Kind::controller)) {
        const Told told = view.fact({state::Kind::controller, name}, state::Attribute::standby,
                                    Trust::whole_answers);
        const auto* role = told.value ? std::get_if<state::StandbyState>(&*told.value) : nullptr;
        if (role != nullptr && *role == state::StandbyState::providing_service)
            leading.push_back(name);
    }
    if (leading.empty())
        return;
    std::string now = spoken_list(leading);
    std::string before = std::exchange(leading_, now);
    if (!before.empty() && before != now)
        findings_.emplace_back(
            SwitchedOver{SwitchedOver::Of::controller, std::move(before), std::move(now)});
}

void State::happen(Instant, const SessionOpened& event) {
    std::string before = std::exchange(address_, event.address);
    if (!before.empty() && before != event.address)
        findings_.emplace_back(
            SwitchedOver{SwitchedOver::Of::address, std::move(before), event.address});
}

} // namespace slotwitness::witness
