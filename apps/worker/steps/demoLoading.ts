import { Injectable } from '@nestjs/common';

@Injectable()
export class DemoLoading {
  load(_ask: { ownerId: string }): Promise<void> {
    return Promise.reject(new Error('no demo'));
  }
}
