#pragma once

#include "rehearsal.hpp"

#include <slotwitness/desk/clock.hpp>
#include <slotwitness/desk/desk.hpp>

#include <boost/asio/awaitable.hpp>

#include <functional>
#include <map>
#include <string>
#include <vector>

namespace slotwitness::rehearsal {

/// What came of a rehearsal.
struct Played {
    std::string procedure;                        ///< its id
    std::map<std::string, units::Duration> times; ///< of each step that was done, in order of names
    /// Where it went another way than written: one sentence each; empty if it did not.
    std::vector<std::string> faults;
};

/// Plays engineer and technician: releases, acts, confirms, closes, as a rehearsal says. It only
/// does what a person could do over the API, and sees what a person would see.
class Director {
  public:
    /// Hands an order to the simulated chassis; the error is what it said.
    using Obey = std::function<tl::expected<void, std::string>(const std::string& order)>;
    /// Told of each thing that happens, in one line.
    using Tell = std::function<void(const std::string& line)>;

    /// `patience`: how long nothing may be shown anew before it is given up.
    Director(desk::Desk& desk, units::Duration patience, Obey obey, Tell tell)
        : desk_(desk), patience_(patience), obey_(std::move(obey)), tell_(std::move(tell)) {}

    [[nodiscard]] boost::asio::awaitable<Played> play(const Rehearsal& rehearsal,
                                                      std::string chassis);

  private:
    [[nodiscard]] boost::asio::awaitable<bool> open(const Rehearsal& rehearsal,
                                                    std::string chassis);
    /// Waits until something new is shown. False: nothing was, for too long.
    [[nodiscard]] boost::asio::awaitable<bool> news();
    /// Does the next thing that a person would do now. False: there is nothing to do.
    [[nodiscard]] boost::asio::awaitable<bool> go_on(const Rehearsal& rehearsal);
    [[nodiscard]] boost::asio::awaitable<void> take_turn(const Turn& turn);
    [[nodiscard]] boost::asio::awaitable<bool> act(desk::ProcedureAct act, bool may_be_refused);
    [[nodiscard]] desk::ProcedureAct act_of(const Move& move) const;
    /// What the technician reads of the serial.
    [[nodiscard]] std::string at_the_rack(const Rehearsal& rehearsal) const;
    [[nodiscard]] bool shows(const Turn& turn) const;
    void order(const std::vector<std::string>& orders);
    void fault(std::string text);

    [[nodiscard]] desk::ProcedureView view() const { return *desk_.procedure(played_.procedure); }
    [[nodiscard]] witness::StepFinding step() const;

    desk::Desk& desk_;
    units::Duration patience_;
    Obey obey_;
    Tell tell_;
    Played played_;
    std::size_t turn_ = 0;  ///< the next one
    std::string acted_;     ///< the step whose orders were given last
    std::string last_line_; ///< told
    std::string foreseen_;  ///< what the last turn showed: it may stay so for a while
};

} // namespace slotwitness::rehearsal
