#pragma once

#include <slotwitness/links/link.hpp>

#include <boost/asio/awaitable.hpp>

#include <deque>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

/// Twins of the transport for tests: a link that answers from a script, and a real SSH server.
namespace slotwitness::twins {

class ScriptedSession;

/// What a scripted device says. The test keeps it and changes it while links over it are in use;
/// every link made over one script is a session to the same device. Used from one strand only, like
/// a link.
///
/// A request is the exact bytes that the guard approved. One that nothing is written for is
/// refused, as a device refuses a query that it does not know; a test sees it in `unwritten()`.
class Script : public std::enable_shared_from_this<Script> {
  public:
    /// From now on this request gets this answer: whole, exit status 0, nothing on standard error.
    void answer(const std::string& request, std::string bytes);
    /// From now on this request gets this answer, or this failure. A failure of the kinds
    /// `session_lost` and `timed_out` closes the session, as it does on the real link.
    void answer(const std::string& request, tl::expected<links::Answer, links::LinkError> outcome);
    /// As `answer`, once; queued in front of the lasting outcome.
    void answer_once(const std::string& request,
                     tl::expected<links::Answer, links::LinkError> outcome);

    /// The next connect ends so; queued. Without one, connecting succeeds.
    void connect_once(tl::expected<void, links::LinkError> outcome);

    /// What a session comes to, from the next connect on; without it a link tells nothing of that.
    void reach(links::Reached reached) { reached_ = std::move(reached); }

    /// Asks of this request wait from now on, until `release` or the session ends. The outcome is
    /// taken at the release.
    void hold(const std::string& request);
    /// Lets the asks that wait go on, and holds the request no longer.
    void release(const std::string& request);
    /// Connecting waits, until released.
    void hold_connects();
    void release_connects();

    /// The device ends every session: asks under way fail with `session_lost`.
    void drop_sessions();

    /// Returns when at least `count` requests were asked, or connects begun, since the script was
    /// made.
    [[nodiscard]] boost::asio::awaitable<void> until_asked(std::size_t count);
    [[nodiscard]] boost::asio::awaitable<void> until_connects(std::size_t count);

    [[nodiscard]] const std::vector<std::string>& asked() const { return asked_; }
    [[nodiscard]] const std::vector<std::string>& unwritten() const { return unwritten_; }
    [[nodiscard]] std::size_t connects() const { return connects_; }
    [[nodiscard]] std::size_t sessions() const; ///< connected now

  private:
    friend class ScriptedSession;
    friend std::unique_ptr<links::Link> make_scripted_link(std::shared_ptr<Script> script);
    struct Bell;
    using Outcome = tl::expected<links::Answer, links::LinkError>;
    [[nodiscard]] Outcome take(const std::string& request);
    void ring();

    std::map<std::string, Outcome> lasting_;
    std::map<std::string, std::deque<Outcome>> once_;
    std::deque<tl::expected<void, links::LinkError>> connect_once_;
    std::optional<links::Reached> reached_;
    std::map<std::string, bool> held_;
    bool connects_held_ = false;
    std::vector<std::string> asked_;
    std::vector<std::string> unwritten_;
    std::size_t connects_ = 0;
    std::vector<std::weak_ptr<ScriptedSession>> links_;
    std::vector<std::weak_ptr<Bell>> bells_;
};

/// A whole answer with these bytes.
[[nodiscard]] links::Answer whole(std::string bytes);

[[nodiscard]] std::unique_ptr<links::Link> make_scripted_link(std::shared_ptr<Script> script);

} // namespace slotwitness::twins
