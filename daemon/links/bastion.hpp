#pragma once

#include "session.hpp"

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace slotwitness::links {

/// One jump host: a session that all who go through it share. It is made when the first of them
/// needs it, made again when it was lost, and closed when nobody uses it any more. Nothing but ways
/// on to an address is ever asked of it. One strand, that of the sessions which go through.
///
/// A refused credential is not tried again, for anybody, until `forgive`.
class Bastion : public std::enable_shared_from_this<Bastion> {
  public:
    /// `before`: the bastion through which this one is reached; null: it is reached directly.
    Bastion(boost::asio::any_io_executor executor, Hop hop, std::shared_ptr<Bastion> before);

    /// Keeps the bastion's session for as long as it is held.
    using Use = std::shared_ptr<void>;
    [[nodiscard]] Use use();

    /// A socket that leads to the address as the bastion sees it. The error names the hop that
    /// failed; of kind `bastion` where one has refused our credential.
    [[nodiscard]] static boost::asio::awaitable<tl::expected<Stream, LinkError>>
    open(std::shared_ptr<Bastion> self, std::shared_ptr<Session> traveller, Target to);

    /// A person says that a credential which this one, or one before it, refused may be tried
    /// again.
    void forgive();

    /// "b1, b2": the names on the way, this one last.
    [[nodiscard]] std::string names() const;

  private:
    [[nodiscard]] boost::asio::awaitable<tl::expected<std::shared_ptr<Session>, LinkError>>
    session_for(std::shared_ptr<Session> traveller);
    void begin();
    void begun(const std::shared_ptr<Session>& session,
               const tl::expected<void, LinkError>& result);

    boost::asio::any_io_executor executor_;
    Hop hop_;
    std::shared_ptr<Bastion> before_;
    std::weak_ptr<void> use_;
    Use use_of_before_;
    std::shared_ptr<Session> session_;
    bool connecting_ = false;
    std::vector<std::weak_ptr<Session>> waiting_;
    std::optional<LinkError> trouble_; ///< why the last attempt failed
    Deadline not_before_{};            ///< the next attempt after a failed one
    unsigned attempts_ = 0;
};

/// " through b1, b2", or nothing.
[[nodiscard]] std::string ways_of(const std::shared_ptr<Bastion>& through);

/// The bastions of one configuration: who goes the same way shares them.
class Bastions {
  public:
    /// The last bastion of this way; null for an empty one.
    [[nodiscard]] std::shared_ptr<Bastion> way(const boost::asio::any_io_executor& executor,
                                               const std::vector<Hop>& hops);

  private:
    std::map<std::vector<std::string>, std::shared_ptr<Bastion>> by_names_;
};

} // namespace slotwitness::links
