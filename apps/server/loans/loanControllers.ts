/** The routes of makers, loans and what belongs to them. */
import { Controller, Inject, Param, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { z } from 'zod';
import * as contract from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route, ShownToBlind } from '../http/route.js';
import { AskedAll, Id, Sent } from '../http/sent.js';
import { sendBlob } from '../measurements/sendBlob.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { DeliveryProofs } from './deliveryProofs.js';
import { Loans } from './loans.js';
import { Makers } from './makers.js';
import { Units } from './units.js';
import { Unpacking } from './unpacking.js';
import { Verdicts } from './verdicts.js';

@ApiTags('makers')
@Controller('makers')
export class MakersController {
  constructor(@Inject(Makers) private readonly makers: Makers) {}

  @Route('GET', '', 'member', 'All makers')
  list(): Promise<contract.MakerView[]> {
    return this.makers.list();
  }
  @Route('GET', ':id', 'member', 'One maker')
  one(@Id() id: string): Promise<contract.MakerView> {
    return this.makers.one(id);
  }
  @Route('POST', '', 'member', 'Add a maker with its contacts')
  add(@Sent(contract.AddMaker) ask: z.output<typeof contract.AddMaker>, @Person() by: SignedIn) {
    return this.makers.add(ask, by);
  }
  @Route('PATCH', ':id', 'member', 'Change a maker; contacts given replace those there')
  change(
    @Id() id: string,
    @Sent(contract.ChangeMaker) ask: z.output<typeof contract.ChangeMaker>,
    @Person() by: SignedIn,
  ) {
    return this.makers.change(id, ask, by);
  }
}

@ApiTags('loans')
@Controller()
export class LoansController {
  constructor(
    @Inject(Loans) private readonly loans: Loans,
    @Inject(Verdicts) private readonly verdicts: Verdicts,
  ) {}

  @Route('GET', 'loans', 'member', 'Loans, each with its plan in short: open ones first, a part at a time')
  list(
    @AskedAll(contract.LoansQuery) query: z.output<typeof contract.LoansQuery>,
    @Person() by: SignedIn,
  ): Promise<contract.LoanSummary[]> {
    return this.loans.find(query, by);
  }
  @Route('GET', 'published', 'signed-in', 'Loans whose review is out, the latest first, a part at a time')
  published(
    @AskedAll(contract.PublishedQuery) query: z.output<typeof contract.PublishedQuery>,
  ): Promise<contract.LoanSummary[]> {
    return this.loans.published(query);
  }
  @Route('POST', 'loans', 'member', 'Ask a maker for a loan')
  add(@Sent(contract.AddLoan) ask: z.output<typeof contract.AddLoan>, @Person() by: SignedIn) {
    return this.loans.add(ask, by);
  }
  @Route('GET', 'loans/:id', 'member', 'One loan with all that belongs to it')
  @ShownToBlind()
  one(@Id() id: string, @Person() by: SignedIn): Promise<contract.LoanView> {
    return this.loans.one(id, by);
  }
  @Route('PATCH', 'loans/:id', 'member', 'Change terms, publication or return of a loan')
  @ShownToBlind()
  change(
    @Id() id: string,
    @Sent(contract.ChangeLoan) ask: z.output<typeof contract.ChangeLoan>,
    @Person() by: SignedIn,
  ) {
    return this.loans.change(id, ask, by);
  }
  @Route(
    'POST',
    'loans/:id/move',
    'member',
    'Move a loan to another stage; refused with the unmet conditions',
    200,
  )
  @ShownToBlind()
  move(
    @Id() id: string,
    @Sent(contract.MoveLoan) ask: z.output<typeof contract.MoveLoan>,
    @Person() by: SignedIn,
  ) {
    return this.loans.move(id, ask, by);
  }
  @Route('GET', 'loans/:id/history', 'member', 'Who did what with this loan, newest first')
  @ShownToBlind()
  history(@Id() id: string, @Person() by: SignedIn): Promise<contract.HistoryView[]> {
    return this.loans.history(id, by);
  }
  @Route('PATCH', 'loans/:id/verdict', 'member', 'Write in the verdict; version 0 begins it')
  verdict(
    @Id() id: string,
    @Sent(contract.ChangeVerdict) ask: z.output<typeof contract.ChangeVerdict>,
    @Person() by: SignedIn,
  ) {
    return this.verdicts.change(id, ask, by);
  }
  @Route('POST', 'loans/:id/sign-offs', 'member', 'Sign off the verdict as it stands, or ask for changes')
  signOff(
    @Id() id: string,
    @Sent(contract.AddSignOff) ask: z.output<typeof contract.AddSignOff>,
    @Person() by: SignedIn,
  ) {
    return this.verdicts.signOff(id, ask, by);
  }
}

@ApiTags('units')
@Controller()
export class UnitsController {
  constructor(@Inject(Units) private readonly units: Units) {}

  @Route('POST', 'loans/:id/units', 'member', 'Add a unit; its kind decides what is to be measured')
  @ShownToBlind()
  add(
    @Id() id: string,
    @Sent(contract.AddUnit) ask: z.output<typeof contract.AddUnit>,
    @Person() by: SignedIn,
  ) {
    return this.units.add(id, ask, by);
  }
  @Route('GET', 'units/:id', 'member', 'One unit with its measurement plan')
  @ShownToBlind()
  one(@Id() id: string, @Person() by: SignedIn): Promise<contract.UnitView> {
    return this.units.one(id, by);
  }
  @Route('PATCH', 'units/:id', 'member', 'Change a unit')
  @ShownToBlind()
  change(
    @Id() id: string,
    @Sent(contract.ChangeUnit) ask: z.output<typeof contract.ChangeUnit>,
    @Person() by: SignedIn,
  ) {
    return this.units.change(id, ask, by);
  }
  @Route(
    'PATCH',
    'units/:id/plan/:code',
    'member',
    'Waive a planned data set with a reason, or ask for it again',
  )
  @ShownToBlind()
  waive(
    @Id() id: string,
    @Param('code') code: string,
    @Sent(contract.WaiveDataSet) ask: z.output<typeof contract.WaiveDataSet>,
    @Person() by: SignedIn,
  ) {
    return this.units.waive(id, code, ask, by);
  }
}

@ApiTags('unpacking')
@Controller()
export class UnpackingController {
  constructor(
    @Inject(Unpacking) private readonly unpacking: Unpacking,
    @Inject(DeliveryProofs) private readonly proofs: DeliveryProofs,
    @Inject(CONFIG) private readonly config: ServerConfig,
  ) {}

  @Route('POST', 'loans/:id/accessories', 'member', 'List an accessory that should come along')
  @ShownToBlind()
  addAccessory(
    @Id() id: string,
    @Sent(contract.AddAccessory) ask: z.output<typeof contract.AddAccessory>,
    @Person() by: SignedIn,
  ) {
    return this.unpacking.addAccessory(id, ask, by);
  }
  @Route('PATCH', 'accessories/:id', 'member', 'Count an accessory in or out')
  changeAccessory(
    @Id() id: string,
    @Sent(contract.ChangeAccessory) ask: z.output<typeof contract.ChangeAccessory>,
    @Person() by: SignedIn,
  ) {
    return this.unpacking.changeAccessory(id, ask, by);
  }
  @Route('POST', 'accessories/:id/remove', 'member', 'Strike an accessory off the list, with the reason', 200)
  removeAccessory(
    @Id() id: string,
    @Sent(contract.RemoveAccessory) ask: z.output<typeof contract.RemoveAccessory>,
    @Person() by: SignedIn,
  ): Promise<contract.Binned> {
    return this.unpacking.removeAccessory(id, ask, by);
  }
  @Route('PATCH', 'photographs/:id', 'member', 'Write a photograph’s caption, until its report is signed')
  changePhotograph(
    @Id() id: string,
    @Sent(contract.ChangePhotograph) ask: z.output<typeof contract.ChangePhotograph>,
    @Person() by: SignedIn,
  ) {
    return this.unpacking.changePhotograph(id, ask, by);
  }
  @Route('GET', 'proofs/:id', 'member', 'A proof of delivery as it came')
  async proof(@Id() id: string, @Res() reply: FastifyReply): Promise<void> {
    await sendBlob(reply, this.config.blobs, { ...(await this.proofs.one(id)), inline: true });
  }
  @Route('DELETE', 'proofs/:id', 'member', 'Take a proof of delivery away again', 200)
  removeProof(@Id() id: string, @Person() by: SignedIn): Promise<contract.Binned> {
    return this.proofs.remove(id, by);
  }
  @Route('POST', 'loans/:id/reports', 'member', 'Record a condition on arrival or return')
  @ShownToBlind()
  addReport(
    @Id() id: string,
    @Sent(contract.AddReport) ask: z.output<typeof contract.AddReport>,
    @Person() by: SignedIn,
  ) {
    return this.unpacking.addReport(id, ask, by);
  }
  @Route('PATCH', 'reports/:id', 'member', 'Change an unsigned report, or note that the maker was told')
  changeReport(
    @Id() id: string,
    @Sent(contract.ChangeReport) ask: z.output<typeof contract.ChangeReport>,
    @Person() by: SignedIn,
  ) {
    return this.unpacking.changeReport(id, ask, by);
  }
  @Route('POST', 'reports/:id/sign', 'member', 'Sign a condition report', 200)
  signReport(
    @Id() id: string,
    @Sent(contract.SignReport) ask: z.output<typeof contract.SignReport>,
    @Person() by: SignedIn,
  ) {
    return this.unpacking.signReport(id, ask, by);
  }
  @Route('GET', 'photographs/:id', 'member', 'A photograph’s bytes')
  async photograph(@Id() id: string, @Res() reply: FastifyReply): Promise<void> {
    const { sha256, mediaType, name } = await this.unpacking.photograph(id);
    await sendBlob(reply, this.config.blobs, { sha256, mediaType, name, inline: true });
  }
}
