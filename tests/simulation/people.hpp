#pragma once

#include "invariants.hpp"
#include "schedule.hpp"
#include "world.hpp"

#include <slotwitness/desk/live_desk.hpp>

#include <boost/asio/awaitable.hpp>
#include <boost/asio/io_context.hpp>

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace slotwitness::simulation {

/// Those who ask the daemon for things and do what its procedures say. They outlive it, remember
/// what they saw, and believe what they are told.
class People {
  public:
    People(boost::asio::io_context& loop, std::vector<std::unique_ptr<World>>& worlds,
           Invariants& invariants)
        : loop_(loop), worlds_(worlds), invariants_(invariants) {}

    /// Does what the act says, upon what can be seen now. What comes of it comes later; nobody is
    /// told of it once `process` is no longer the present one.
    void take(const Act& act, desk::LiveDesk& desk);
    /// Nobody hears any more what was asked of the last process.
    void hang_up() { ++process_; }

  private:
    void open_gate(const Act& act, desk::LiveDesk& desk);
    void ask_again(const Act& act, desk::LiveDesk& desk);
    void close_gate(const Act& act, desk::LiveDesk& desk);
    void open_procedure(const Act& act, desk::LiveDesk& desk);
    void go_on(const Act& act, desk::LiveDesk& desk, const desk::ProcedureView& view);
    void read_serial(const Act& act, desk::LiveDesk& desk, const std::string& id);
    void stopped(const Act& act, desk::LiveDesk& desk, const desk::ProcedureView& view);
    void send(desk::LiveDesk& desk, desk::GateWish wish);
    void send(desk::LiveDesk& desk, desk::ProcedureAct act);

    boost::asio::io_context& loop_;
    std::vector<std::unique_ptr<World>>& worlds_;
    Invariants& invariants_;
    unsigned process_ = 0;
    std::vector<desk::GateWish> wishes_; ///< every one so far, with its key
    unsigned procedures_ = 0;            ///< asked for so far
    struct Saw {
        witness::StepAct act;
        witness::Stage stage = witness::Stage::waiting;
    };
    std::map<unsigned, Saw> saw_; ///< of the procedure on each chassis, a while ago
};

} // namespace slotwitness::simulation
