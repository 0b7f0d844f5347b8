#include "entrance.hpp"

#include <utility>

namespace slotwitness::desk {

Entrance::Place::Place(std::shared_ptr<Entrance> entrance, watch::Admission::Ticket ticket)
    : entrance_(std::move(entrance)), ticket_(ticket),
      let_in_(entrance_->clock_.make_alarm(entrance_->executor_)) {
    entrance_->places_.emplace(ticket_, this);
}

Entrance::Place::~Place() {
    entrance_->places_.erase(ticket_);
    entrance_->admission_.leave(ticket_);
    entrance_->admit();
}

boost::asio::awaitable<void> Entrance::Place::admitted() {
    while (waits_)
        co_await let_in_->wait_until(entrance_->clock_.now() + std::chrono::hours(1));
}

void Entrance::Place::is_now(watch::Urgency urgency) {
    entrance_->admission_.is_now(ticket_, urgency);
}

void Entrance::Place::wait_no_longer() {
    waits_ = false;
    let_in_->ring();
}

std::unique_ptr<Entrance::Place> Entrance::queue(std::vector<std::string> bastions,
                                                 watch::Urgency urgency) {
    auto place =
        std::make_unique<Place>(shared_from_this(), admission_.queue(std::move(bastions), urgency));
    admit();
    return place;
}

void Entrance::admit() {
    for (const watch::Admission::Ticket ticket : admission_.admit())
        places_.at(ticket)->wait_no_longer();
}

} // namespace slotwitness::desk
