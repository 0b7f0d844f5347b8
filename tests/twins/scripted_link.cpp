#include "scripted_link.hpp"

#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <algorithm>

namespace slotwitness::twins {

namespace asio = boost::asio;
using links::LinkError;

/// A timer that never falls due: whoever waits is woken by cancelling it.
struct Script::Bell {
    explicit Bell(const asio::any_io_executor& executor) : timer(executor) {
        timer.expires_at(asio::steady_timer::time_point::max());
    }
    asio::steady_timer timer;
};

namespace {

LinkError lost(std::string text) {
    return {LinkError::Kind::session_lost, std::move(text)};
}

bool ends_the_session(LinkError::Kind kind) {
    switch (kind) {
    case LinkError::Kind::session_lost:
    case LinkError::Kind::timed_out:
        return true;
    case LinkError::Kind::unreachable:
    case LinkError::Kind::host_key:
    case LinkError::Kind::own_files:
    case LinkError::Kind::bastion:
    case LinkError::Kind::credential:
    case LinkError::Kind::locked:
    case LinkError::Kind::aaa:
    case LinkError::Kind::no_line:
    case LinkError::Kind::refused:
    case LinkError::Kind::misuse:
        return false;
    }
    return false;
}

} // namespace

class ScriptedSession {
  public:
    explicit ScriptedSession(std::shared_ptr<Script> script) : script_(std::move(script)) {}

    [[nodiscard]] bool connected() const { return connected_; }
    [[nodiscard]] const std::optional<links::Reached>& reached() const { return reached_; }

    /// Ends what is under way; a later connect begins a new era.
    void end() {
        connected_ = false;
        ++era_;
        script_->ring();
    }

    static asio::awaitable<tl::expected<void, LinkError>>
    connect(std::shared_ptr<ScriptedSession> self) {
        auto& script = *self->script_;
        ++script.connects_;
        script.ring();
        const auto era = self->era_;
        auto waits = [&script] { return script.connects_held_; };
        co_await self->wait_while(era, waits);
        if (era != self->era_) {
            co_return tl::unexpected(lost("script: closed while connecting"));
        }
        tl::expected<void, LinkError> outcome;
        if (!script.connect_once_.empty()) {
            outcome = std::move(script.connect_once_.front());
            script.connect_once_.pop_front();
        }
        self->connected_ = outcome.has_value();
        self->reached_ = script.reached_;
        co_return outcome;
    }

    static asio::awaitable<tl::expected<links::Answer, LinkError>>
    ask(std::shared_ptr<ScriptedSession> self, std::string request) {
        if (!self->connected_) {
            co_return tl::unexpected(lost("script: not connected"));
        }
        auto& script = *self->script_;
        script.asked_.push_back(request);
        script.ring();
        const auto era = self->era_;
        auto waits = [&script, &request] { return script.held_[request]; };
        co_await self->wait_while(era, waits);
        if (era != self->era_) {
            co_return tl::unexpected(lost("script: the session ended"));
        }
        auto outcome = script.take(request);
        if (!outcome && ends_the_session(outcome.error().kind)) {
            self->end();
        }
        co_return outcome;
    }

  private:
    template <typename Waits>
    asio::awaitable<void> wait_while(std::size_t era, Waits& waits) {
        const auto bell = std::make_shared<Script::Bell>(co_await asio::this_coro::executor);
        script_->bells_.push_back(bell);
        while (era == era_ && waits()) {
            boost::system::error_code ignored;
            co_await bell->timer.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
        }
    }

    std::shared_ptr<Script> script_;
    std::optional<links::Reached> reached_;
    bool connected_ = false;
    std::size_t era_ = 0;
};

class ScriptedLink final : public links::Link {
  public:
    explicit ScriptedLink(std::shared_ptr<ScriptedSession> session)
        : session_(std::move(session)) {}
    ~ScriptedLink() override { session_->end(); }
    ScriptedLink(const ScriptedLink&) = delete;
    ScriptedLink& operator=(const ScriptedLink&) = delete;

    asio::awaitable<tl::expected<void, LinkError>> connect() override {
        return ScriptedSession::connect(session_);
    }
    bool connected() const override { return session_->connected(); }
    asio::awaitable<tl::expected<links::Answer, LinkError>>
    ask(links::ApprovedQuery query) override {
        return ScriptedSession::ask(session_, query.bytes());
    }
    void close() override { session_->end(); }

    std::optional<links::Reached> reached() const override { return session_->reached(); }

  private:
    std::shared_ptr<ScriptedSession> session_;
};

void Script::answer(const std::string& request, std::string bytes) {
    answer(request, Outcome(whole(std::move(bytes))));
}

void Script::answer(const std::string& request, Outcome outcome) {
    lasting_.insert_or_assign(request, std::move(outcome));
}

void Script::answer_once(const std::string& request, Outcome outcome) {
    once_[request].push_back(std::move(outcome));
}

void Script::connect_once(tl::expected<void, LinkError> outcome) {
    connect_once_.push_back(std::move(outcome));
}

void Script::hold(const std::string& request) {
    held_[request] = true;
}

void Script::release(const std::string& request) {
    held_[request] = false;
    ring();
}

void Script::hold_connects() {
    connects_held_ = true;
}

void Script::release_connects() {
    connects_held_ = false;
    ring();
}

void Script::drop_sessions() {
    for (const auto& link : links_) {
        if (const auto session = link.lock()) {
            session->end();
        }
    }
}

asio::awaitable<void> Script::until_asked(std::size_t count) {
    const auto self = shared_from_this();
    const auto bell = std::make_shared<Bell>(co_await asio::this_coro::executor);
    bells_.push_back(bell);
    while (asked_.size() < count) {
        boost::system::error_code ignored;
        co_await bell->timer.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
    }
}

asio::awaitable<void> Script::until_connects(std::size_t count) {
    const auto self = shared_from_this();
    const auto bell = std::make_shared<Bell>(co_await asio::this_coro::executor);
    bells_.push_back(bell);
    while (connects_ < count) {
        boost::system::error_code ignored;
        co_await bell->timer.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
    }
}

std::size_t Script::sessions() const {
    return static_cast<std::size_t>(
        std::count_if(links_.begin(), links_.end(), [](const auto& link) {
            const auto session = link.lock();
            return session && session->connected();
        }));
}

Script::Outcome Script::take(const std::string& request) {
    if (auto found = once_.find(request); found != once_.end() && !found->second.empty()) {
        auto outcome = std::move(found->second.front());
        found->second.pop_front();
        return outcome;
    }
    if (const auto found = lasting_.find(request); found != lasting_.end()) {
        return found->second;
    }
    unwritten_.push_back(request);
    return tl::unexpected(
        LinkError{LinkError::Kind::refused, "script: nothing is written for \"" + request +
                                                "\"; give the script an answer to it"});
}

void Script::ring() {
    std::erase_if(bells_, [](const auto& bell) { return bell.expired(); });
    for (const auto& waiting : bells_) {
        if (const auto bell = waiting.lock()) {
            bell->timer.cancel();
        }
    }
}

links::Answer whole(std::string bytes) {
    links::Answer answer;
    answer.bytes = std::move(bytes);
    answer.ended = true;
    answer.exit_status = 0;
    return answer;
}

std::unique_ptr<links::Link> make_scripted_link(std::shared_ptr<Script> script) {
    auto session = std::make_shared<ScriptedSession>(script);
    std::erase_if(script->links_, [](const auto& link) { return link.expired(); });
    script->links_.push_back(session);
    return std::make_unique<ScriptedLink>(std::move(session));
}

} // namespace slotwitness::twins
