#include "bastion.hpp"

#include "handshake.hpp"
#include "tunnel.hpp"

#include <boost/asio/co_spawn.hpp>

#include <utility>

namespace slotwitness::links {

namespace asio = boost::asio;
using Clock = std::chrono::steady_clock;

namespace {

/// Each who goes through tries on its own account; together they ask a bastion no more often than
/// this.
constexpr units::Duration first_wait{1'000};
constexpr units::Duration longest_wait{30'000};

std::string where_of(const Hop& hop, const std::shared_ptr<Bastion>& before) {
    return "bastion " + hop.name + " (" + place_of(hop.target) + ")" + ways_of(before);
}

} // namespace

Bastion::Bastion(asio::any_io_executor executor, Hop hop, std::shared_ptr<Bastion> before)
    : executor_(std::move(executor)), hop_(std::move(hop)), before_(std::move(before)) {}

std::string Bastion::names() const {
    return before_ ? before_->names() + ", " + hop_.name : hop_.name;
}

Bastion::Use Bastion::use() {
    if (auto used = use_.lock()) {
        return used;
    }
    Use use(this, [self = shared_from_this()](void*) {
        if (self->session_) {
            self->session_->end({LinkError::Kind::session_lost,
                                 where_of(self->hop_, self->before_) + ": closed by us"});
            self->session_.reset();
        }
        self->use_of_before_.reset();
        self->use_.reset(); // or it would keep this function, and the function the bastion
    });
    use_ = use;
    use_of_before_ = before_ ? before_->use() : nullptr;
    return use;
}

void Bastion::forgive() {
    trouble_.reset();
    attempts_ = 0;
    if (before_) {
        before_->forgive();
    }
}

asio::awaitable<tl::expected<Stream, LinkError>>
Bastion::open(std::shared_ptr<Bastion> self, std::shared_ptr<Session> traveller, Target to) {
    auto session = co_await self->session_for(traveller);
    if (!session) {
        co_return tl::unexpected(std::move(session.error()));
    }
    const auto deadline = Clock::now() + to.connect_timeout;
    co_return co_await Tunnel::open(std::move(*session), std::move(traveller), to.host, to.port,
                                    deadline);
}

asio::awaitable<tl::expected<std::shared_ptr<Session>, LinkError>>
Bastion::session_for(std::shared_ptr<Session> traveller) {
    const auto self = shared_from_this();
    for (;;) {
        if (!traveller->alive()) {
            co_return tl::unexpected(traveller->why());
        }
        if (session_ && session_->serving()) {
            co_return session_;
        }
        if (!connecting_ && trouble_ && Clock::now() < not_before_) {
            co_return tl::unexpected(
                LinkError{trouble_->kind, traveller->where() + ": " + trouble_->text});
        }
        if (!connecting_) {
            begin();
        }
        waiting_.push_back(traveller);
        // Each step of an attempt ends by itself; this is for the clock, not for the bastion.
        const auto woken = co_await traveller->wait(Clock::now() + std::chrono::hours(1));
        if (woken == Bell::Woken::cancelled) {
            co_return tl::unexpected(cancelled(*traveller));
        }
    }
}

void Bastion::begin() {
    connecting_ = true;
    session_ =
        std::make_shared<Session>(executor_, where_of(hop_, before_), hop_.target.keep_alive);
    asio::co_spawn(executor_, establish(session_, hop_.target, before_),
                   [self = shared_from_this(), session = session_](
                       const std::exception_ptr& thrown, tl::expected<void, LinkError> result) {
                       if (thrown) {
                           std::rethrow_exception(thrown);
                       }
                       self->begun(session, result);
                   });
}

void Bastion::begun(const std::shared_ptr<Session>& session,
                    const tl::expected<void, LinkError>& result) {
    connecting_ = false;
    if (result) {
        trouble_.reset();
        attempts_ = 0;
    } else if (session == session_) {
        trouble_ = result.error();
        not_before_ = Clock::now() + back_off(attempts_++, first_wait, longest_wait, 0.5);
        if (is_for_people(trouble_->kind)) {
            trouble_->kind = LinkError::Kind::bastion;
            not_before_ = Deadline::max();
        }
    }
    for (const auto& weak : std::exchange(waiting_, {})) {
        if (const auto traveller = weak.lock()) {
            traveller->ring();
        }
    }
}

std::string ways_of(const std::shared_ptr<Bastion>& through) {
    return through ? " through " + through->names() : "";
}

std::shared_ptr<Bastion> Bastions::way(const asio::any_io_executor& executor,
                                       const std::vector<Hop>& hops) {
    std::shared_ptr<Bastion> last;
    std::vector<std::string> names;
    for (const Hop& hop : hops) {
        names.push_back(hop.name);
        auto& bastion = by_names_[names];
        if (!bastion) {
            bastion = std::make_shared<Bastion>(executor, hop, last);
        }
        last = bastion;
    }
    return last;
}

} // namespace slotwitness::links
