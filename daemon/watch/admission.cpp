#include "admission.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::watch {

namespace {

/// Each so many-th place goes by the time of waiting alone.
constexpr std::uint64_t by_waiting_alone = 4;

} // namespace

Admission::Ticket Admission::queue(std::vector<std::string> bastions, Urgency urgency) {
    waiting_.emplace(++last_, Visitor{std::move(bastions), urgency});
    return last_;
}

void Admission::is_now(Ticket ticket, Urgency urgency) {
    if (const auto found = waiting_.find(ticket); found != waiting_.end())
        found->second.urgency = urgency;
}

bool Admission::fits(const Visitor& visitor) const {
    return std::all_of(
        visitor.bastions.begin(), visitor.bastions.end(), [this](const std::string& bastion) {
            const auto inside = through_.find(bastion);
            return inside == through_.end() || inside->second < doors_.through_a_bastion;
        });
}

std::vector<Admission::Ticket> Admission::admit() {
    std::vector<Ticket> admitted;
    while (inside_.size() < doors_.at_once) {
        const bool in_turn = (admitted_ + 1) % by_waiting_alone == 0;
        auto next = waiting_.end();
        for (auto each = waiting_.begin(); each != waiting_.end(); ++each) {
            if (!fits(each->second))
                continue;
            if (next == waiting_.end() || each->second.urgency < next->second.urgency)
                next = each;
            if (in_turn || next->second.urgency == Urgency::work)
                break;
        }
        if (next == waiting_.end())
            break;
        ++admitted_;
        for (const std::string& bastion : next->second.bastions)
            ++through_[bastion];
        admitted.push_back(next->first);
        inside_.insert(waiting_.extract(next));
    }
    return admitted;
}

void Admission::leave(Ticket ticket) {
    waiting_.erase(ticket);
    const auto found = inside_.find(ticket);
    if (found == inside_.end())
        return;
    for (const std::string& bastion : found->second.bastions)
        if (const auto through = through_.find(bastion); --through->second == 0)
            through_.erase(through);
    inside_.erase(found);
}

} // namespace slotwitness::watch
