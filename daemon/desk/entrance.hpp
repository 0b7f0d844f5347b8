#pragma once

#include "clock.hpp"

#include <slotwitness/watch/admission.hpp>

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace slotwitness::desk {

/// The one door through which all sessions of a daemon are set up, so that a thousand of them at
/// once neither keep the loop from the API nor stampede a bastion. On the loop thread.
class Entrance : public std::enable_shared_from_this<Entrance> {
  public:
    Entrance(boost::asio::any_io_executor executor, const Clock& clock, watch::Doors doors)
        : executor_(std::move(executor)), clock_(clock), admission_(doors) {}

    /// A place in the queue, and once admitted one inside; given back when destroyed.
    class Place {
      public:
        Place(std::shared_ptr<Entrance> entrance, watch::Admission::Ticket ticket);
        ~Place();
        Place(const Place&) = delete;
        Place& operator=(const Place&) = delete;

        /// Waits until it is admitted, or until `wait_no_longer`.
        [[nodiscard]] boost::asio::awaitable<void> admitted();
        void is_now(watch::Urgency urgency);
        void wait_no_longer();

      private:
        std::shared_ptr<Entrance> entrance_;
        watch::Admission::Ticket ticket_;
        std::unique_ptr<Alarm> let_in_;
        bool waits_ = true;
    };
    [[nodiscard]] std::unique_ptr<Place> queue(std::vector<std::string> bastions,
                                               watch::Urgency urgency);

  private:
    void admit();

    boost::asio::any_io_executor executor_;
    const Clock& clock_;
    watch::Admission admission_;
    std::map<watch::Admission::Ticket, Place*> places_;
};

} // namespace slotwitness::desk
